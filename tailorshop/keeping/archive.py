"""An archive is written: it has its name once it is on the disk and was read again."""

from __future__ import annotations

import datetime as dt
import json
import tarfile
from collections.abc import Callable, Iterator
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any, Final

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import connection

from tailorshop import VERSION
from tailorshop.keeping import snapshot
from tailorshop.keeping.files import given_free_name, written_whole
from tailorshop.keeping.manifest import MANIFEST, MANIFEST_DIGEST, MEDIA, Kept, Manifest
from tailorshop.keeping.sealing import SEALED, sealing
from tailorshop.keeping.unpack import unpack

STAMP: Final = "%Y%m%dT%H%M%SZ"
# What somebody asked for or handed in and has not fetched or looked at yet: work of a day.
NOT_KEPT: Final = ("errands/", "handed-in/")
TAKING: Final = ".taking-"
Said = Callable[[str], None]


def names_at(moment: dt.datetime, *, sealed: bool = False) -> Iterator[str]:
    """What an archive of this moment may be called; the first is for the first in its second."""
    stem = f"fitting-book-{moment.astimezone(dt.UTC):{STAMP}}"
    for number in range(1, 1000):
        yield f"{stem}{f'-{number}' if number > 1 else ''}.tar{SEALED if sealed else ''}"


def back_up(
    folder: Path,
    *,
    at: dt.datetime,
    recipients: list[Any],
    portable: bool = False,
    say: Said = lambda _: None,
) -> tuple[Path, Manifest]:
    """Write the archive of this moment into the folder; the shop goes on working.

    No archive that is there is written over. Raises NotTaken, BadArchive where it cannot be read
    again, or OSError where the disk is full; then nothing is left but what was there.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    with TemporaryDirectory(prefix=TAKING, dir=folder) as scratch:
        taken = snapshot.take(Path(scratch), portable=portable)
        say(f"The database is copied: {sum(taken.rows.values())} rows.")
        whole = Path(scratch) / "whole"
        with written_whole(whole) as file, sealing(file, recipients) as stream:
            manifest = _write(stream, taken, at)
        if not recipients:  # a sealed one can be read again only where its key is
            unpack(whole, Path(scratch) / "again", [], media=False, newer=True)
        free = (folder / name for name in names_at(at, sealed=bool(recipients)))
        path = given_free_name(whole, free)
    say(f"{len(manifest.media)} files of photographs are copied.")
    return path, manifest


def _write(stream: IO[bytes], taken: snapshot.Snapshot, at: dt.datetime) -> Manifest:
    files = {}
    with tarfile.open(fileobj=stream, mode="w|") as tar:
        with taken.file.open("rb") as database:
            size = taken.file.stat().st_size
            files[taken.file.name] = _add(tar, taken.file.name, database, size, at)
        for name in sorted(name for name in stored() if not name.startswith(NOT_KEPT)):
            if (data := _read(name)) is not None:
                files[MEDIA + name] = _add(tar, MEDIA + name, BytesIO(data), len(data), at)
        manifest = Manifest(
            made_at=at,
            version=VERSION,
            engine=connection.vendor,
            database=taken.file.name,
            migrations=taken.migrations,
            rows=taken.rows,
            files=files,
        )
        said = manifest.written()
        _add(tar, MANIFEST, BytesIO(said), len(said), at)
        seal = sha256(said).hexdigest().encode()
        _add(tar, MANIFEST_DIGEST, BytesIO(seal), len(seal), at)
    return manifest


def _add(tar: tarfile.TarFile, name: str, file: IO[bytes], size: int, at: dt.datetime) -> Kept:
    member = tarfile.TarInfo(name)
    member.size, member.mtime, member.mode = size, int(at.timestamp()), 0o600
    digest = Digesting(file)
    tar.addfile(member, digest)
    return Kept(sha256=digest.hexdigest(), bytes=size)


class Digesting:
    """A file that is digested as it is read."""

    def __init__(self, file: IO[bytes]) -> None:
        self.file, self._digest = file, sha256()

    def read(self, size: int = -1) -> bytes:
        data = self.file.read(size)
        self._digest.update(data)
        return data

    def hexdigest(self) -> str:
        return self._digest.hexdigest()


def stored(folder: str = "") -> Iterator[str]:
    """The names of all files in the storage of photographs."""
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:  # no photograph was ever kept
        return
    for name in files:
        if not name.startswith("."):
            yield f"{folder}{name}"
    for name in folders:
        yield from stored(f"{folder}{name}/")


def _read(name: str) -> bytes | None:
    """None where it was erased since it was listed."""
    try:
        with default_storage.open(name) as file:
            data: bytes = file.read()
            return data
    except FileNotFoundError:
        return None


def remember(path: Path, manifest: Manifest) -> None:
    """Write down the last good backup: its age is asked for by whoever watches the shop."""
    said = {"made_at": manifest.made_at.isoformat(), "file": path.name}
    with written_whole(settings.VAR_DIR / "last-backup.json") as file:
        file.write(json.dumps(said).encode())


def last_backup() -> dt.datetime | None:
    """When the last good backup was made; None where there is none."""
    try:
        return dt.datetime.fromisoformat(_remembered()["made_at"])
    except (OSError, ValueError, KeyError):
        return None


def last_file() -> str:
    """The name of the last good backup's archive; raises OSError where none was made."""
    return _remembered()["file"]


def _remembered() -> dict[str, str]:
    said: dict[str, str] = json.loads((settings.VAR_DIR / "last-backup.json").read_bytes())
    return said
