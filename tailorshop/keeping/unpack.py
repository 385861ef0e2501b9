"""An archive is read: into an empty folder, every file checked; nothing else is touched."""

from __future__ import annotations

import os
import tarfile
from hashlib import sha256
from pathlib import Path
from typing import IO, Any, Final

from tailorshop.keeping.manifest import (
    DUMP_FILE,
    MANIFEST,
    MANIFEST_DIGEST,
    MEDIA,
    SQLITE_FILE,
    BadArchive,
    Kept,
    Manifest,
    check_not_newer,
    known_migrations,
    read_manifest,
)
from tailorshop.keeping.rows import count_rows, sqlite_beside, tables_of
from tailorshop.keeping.sealing import opened
from tailorshop.keeping.snapshot import check_sound

_LISTED_MOST: Final = 500_000_000
_DUMP_BEGINS: Final = b"PGDMP"


def unpack(
    path: Path, folder: Path, identities: list[Any], *, media: bool = True, newer: bool = False
) -> Manifest:
    """Unpack an archive into an empty folder; without `media` photographs are only checked.

    Refuses (BadArchive) what is damaged, cut short or of something else, and unless `newer` what
    is of a newer program.
    """
    found: dict[str, Kept] = {}
    try:
        with opened(path, identities) as stream, tarfile.open(fileobj=stream, mode="r|") as tar:
            for member in tar:
                data = _checked(tar, member, found)
                wanted = media or not member.name.startswith(MEDIA)
                found[member.name] = _out(data, folder / member.name if wanted else None)
    except (tarfile.TarError, EOFError) as bad:
        raise BadArchive(f"The file is damaged, cut short or no archive of ours: {bad}.") from None
    manifest = _listed(folder, found)
    if not newer:
        check_not_newer(manifest, known_migrations())
    _check_database(folder / manifest.database, manifest)
    return manifest


def _checked(tar: tarfile.TarFile, member: tarfile.TarInfo, found: dict[str, Kept]) -> IO[bytes]:
    """Refuse (BadArchive) whatever would be written outside the folder, or twice."""
    inside = member.name in {SQLITE_FILE, DUMP_FILE, MANIFEST, MANIFEST_DIGEST}
    inside |= member.name.startswith(MEDIA)
    parts = Path(member.name).parts
    # One with gaps would be longer than the archive, up to all of the disk: we write none.
    whole = member.isreg() and not member.issparse()
    if not inside or not whole or ".." in parts or "\\" in member.name:
        raise BadArchive(f"The archive holds {member.name!r}, which is none of ours.")
    if member.name in found:
        raise BadArchive(f"The archive holds {member.name} twice.")
    data = tar.extractfile(member)
    if data is None:
        raise BadArchive(f"{member.name} cannot be read.")
    return data


def _out(data: IO[bytes], path: Path | None) -> Kept:
    digest, size = sha256(), 0
    if path:
        path.parent.mkdir(parents=True, exist_ok=True)
    with (path or Path(os.devnull)).open("wb") as file:
        while block := data.read(1 << 20):
            digest.update(block)
            size += len(block)
            file.write(block)
    return Kept(sha256=digest.hexdigest(), bytes=size)


def _listed(folder: Path, found: dict[str, Kept]) -> Manifest:
    """What the archive says it holds; refused (BadArchive) where it holds anything else."""
    if not {MANIFEST, MANIFEST_DIGEST} <= set(found):
        raise BadArchive("The archive has no list of what it holds: it was cut short.")
    if found[MANIFEST].bytes > _LISTED_MOST:
        raise BadArchive("The archive's own list is too long to be one of ours.")
    if (folder / MANIFEST_DIGEST).read_text() != found[MANIFEST].sha256:
        raise BadArchive("The archive's own list is damaged.")
    manifest = read_manifest((folder / MANIFEST).read_bytes())
    held = {name: kept for name, kept in found.items() if name not in {MANIFEST, MANIFEST_DIGEST}}
    for name in sorted(set(held) | set(manifest.files)):
        if held.get(name) != manifest.files.get(name):
            raise BadArchive(f"{name} is not what was put into the archive: it is damaged.")
    return manifest


def _check_database(file: Path, manifest: Manifest) -> None:
    if manifest.database == DUMP_FILE:
        with file.open("rb") as dump:
            if dump.read(len(_DUMP_BEGINS)) != _DUMP_BEGINS:
                raise BadArchive("The database in the archive is no dump of PostgreSQL.")
        return
    check_sound(file)
    with sqlite_beside(file) as beside:
        there = set(manifest.rows) & set(tables_of(beside))
        check_counts(count_rows(beside, there), manifest)


def check_counts(counts: dict[str, int], manifest: Manifest) -> None:
    """Refuse (BadArchive) where a table has not the rows that were counted at the backup."""
    for table, count in manifest.rows.items():
        if counts.get(table) != count:
            raise BadArchive(f"{table} has {counts.get(table)} rows and had {count}.")
