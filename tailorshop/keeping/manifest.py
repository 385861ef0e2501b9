"""What an archive says of itself, and whether this version of the program may restore it."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any, Final

from django.db.migrations.loader import MigrationLoader

KIND: Final = "fitting book backup"
FORM: Final = 1
MEDIA: Final = "media/"
SQLITE_FILE: Final = "database.sqlite3"
DUMP_FILE: Final = "database.dump"
MANIFEST: Final = "manifest.json"
MANIFEST_DIGEST: Final = "manifest.sha256"


class BadArchive(Exception):
    """An archive that is not to be restored, in a sentence that says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One file of the archive."""

    sha256: str
    bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """`rows` counts every table, in the same moment as the database was taken."""

    made_at: dt.datetime
    version: str
    engine: str
    database: str
    migrations: tuple[str, ...]
    rows: dict[str, int]
    files: dict[str, Kept]

    def written(self) -> bytes:
        said = {"kind": KIND, "form": FORM} | asdict(self)
        said["made_at"] = self.made_at.isoformat()
        return json.dumps(said, indent=1, sort_keys=True).encode()

    @property
    def size(self) -> int:
        return sum(kept.bytes for kept in self.files.values())

    @property
    def media(self) -> dict[str, Kept]:
        """The photographs by their name in the storage."""
        return {n.removeprefix(MEDIA): k for n, k in self.files.items() if n.startswith(MEDIA)}


def read_manifest(data: bytes) -> Manifest:
    """Refuses (BadArchive) what is not ours, and what a newer program wrote."""
    try:
        said: dict[str, Any] = json.loads(data)
        if said.pop("kind") != KIND:
            raise BadArchive("This is an archive of something else.")
        if (form := said.pop("form")) > FORM:
            raise BadArchive(f"A newer program wrote this archive (form {form}, known: {FORM}).")
        said["made_at"] = dt.datetime.fromisoformat(said["made_at"])
        said["migrations"] = tuple(said["migrations"])
        said["files"] = {name: Kept(**kept) for name, kept in said["files"].items()}
        if said["database"] not in {SQLITE_FILE, DUMP_FILE}:
            raise BadArchive("The archive names no database of ours.")
        return Manifest(**said)
    except (ValueError, KeyError, TypeError, AttributeError) as bad:
        raise BadArchive(f"The archive's own list cannot be read: {bad!r}.") from None


def known_migrations() -> set[str]:
    """Every step of the database that this program knows, as `app.name`."""
    return {f"{app}.{name}" for app, name in MigrationLoader(None).disk_migrations or ()}


def check_not_newer(manifest: Manifest, known: Iterable[str]) -> None:
    """Refuse (BadArchive) a database with steps that this program does not know."""
    if unknown := sorted(set(manifest.migrations) - set(known)):
        raise BadArchive(
            f"The archive comes from a newer program (version {manifest.version}; this one does "
            f"not know {unknown[0]}): install that version first, then restore."
        )
