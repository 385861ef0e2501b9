"""The record put back from an archive: all is checked first, what was there is kept aside."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command, get_commands
from django.db import DatabaseError, connection, connections

from fittings.erasing.listed import write_down
from tailorshop.keeping.archive import STAMP, back_up, stored
from tailorshop.keeping.files import sync_folder
from tailorshop.keeping.manifest import DUMP_FILE, MEDIA, BadArchive, Manifest
from tailorshop.keeping.rows import (
    bring_up,
    carry_over,
    count_rows,
    own_models,
    sqlite_beside,
    tables_of,
)
from tailorshop.keeping.snapshot import run
from tailorshop.keeping.unpack import check_counts, unpack
from tailorshop.models import User

Said = Callable[[str], None]


class InUse(Exception):
    """There is a record already, and nobody said that it may be replaced."""


def restore(
    path: Path, identities: list[Any], *, at: dt.datetime, replace: bool, say: Said
) -> Manifest:
    """Put the record of the archive in the place of what is there. Stop the shop before.

    Refuses (BadArchive) an archive that is not whole or not for this program, and (InUse) a place
    that is in use unless `replace`, before anything is touched. What was there is kept aside.
    """
    if not replace and is_in_use():
        raise InUse("There is a record here already: with --replace it is kept aside.")
    settings.VAR_DIR.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(prefix=".restoring-", dir=settings.VAR_DIR) as scratch:
        folder = Path(scratch)
        manifest = unpack(path, folder, identities)
        check_fits(manifest)
        _write_down_erasures()
        say(f"The archive of {manifest.made_at:%Y-%m-%d %H:%M} UTC is whole: {_holds(manifest)}.")
        _files(folder / MEDIA, manifest)
        say("The photographs are in their place.")
        if connection.vendor == "sqlite":
            _sqlite(folder / manifest.database, manifest, at, say)
        else:
            _postgresql(folder / manifest.database, manifest, at, say)
    Session.objects.all().delete()  # of a tablet that was signed out since, too
    check_files(manifest)
    if "reapply_erasures" in get_commands():
        call_command("reapply_erasures")
    return manifest


def _write_down_erasures() -> None:
    """Whoever was erased in the record that goes, written into the list beside it first: another
    machine of the shop may have erased them, and only the list outlives a restore."""
    with suppress(DatabaseError, ValueError):
        write_down()
    connection.close()


def _holds(manifest: Manifest) -> str:
    return f"{sum(manifest.rows.values())} rows, {len(manifest.media)} files of photographs"


def is_in_use() -> bool:
    """Whether anybody has an account here, or any photograph is kept."""
    try:
        has_tables = User._meta.db_table in tables_of("default")
        return (has_tables and User.objects.exists()) or next(stored(), None) is not None
    except DatabaseError:  # something is here that cannot be read: it may be all there is
        return True
    finally:
        connection.close()


def check_fits(manifest: Manifest) -> None:
    """Refuse (BadArchive) a dump that the database at hand cannot take."""
    if manifest.database != DUMP_FILE:
        return
    if connection.vendor == "sqlite":
        raise BadArchive(
            "The archive holds a dump of PostgreSQL, which goes into PostgreSQL only: make one "
            "there with backup --portable, which goes into either."
        )
    if not (shutil.which("psql") and shutil.which("pg_restore")):
        raise BadArchive("To put a dump back, install PostgreSQL's client programs first.")


def _files(folder: Path, manifest: Manifest) -> None:
    """Content-named files stand beside those that are there: the old record loses none."""
    for name, kept in manifest.media.items():
        if digest_of(name) != kept.sha256:
            with suppress(FileNotFoundError):
                default_storage.delete(name)
            default_storage.save(name, ContentFile((folder / name).read_bytes()))


def digest_of(name: str) -> str | None:
    try:
        with default_storage.open(name) as file:
            return sha256(file.read()).hexdigest()
    except FileNotFoundError:
        return None


def check_files(manifest: Manifest) -> None:
    """Refuse (BadArchive) where a photograph is not, afterwards, what it was."""
    for name, kept in manifest.media.items():
        if digest_of(name) != kept.sha256:
            raise BadArchive(f"{name} was not put back whole: look at the disk.")


def _sqlite(file: Path, manifest: Manifest, at: dt.datetime, say: Said) -> None:
    """One renaming puts the new database in the place of the old one."""
    _brought_up(file)
    place = Path(settings.DATABASES["default"]["NAME"])
    place.parent.mkdir(parents=True, exist_ok=True)
    if place.exists() and place.stat().st_size:
        with suppress(DatabaseError), connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connections.close_all()
        aside = _free_aside(place, at)
        for tail in ("", "-wal"):
            if (old := Path(f"{place}{tail}")).exists():
                shutil.copy2(old, f"{aside}{tail}")
        say(f"The old database is kept as {aside.name}.")
        for tail in ("-wal", "-shm"):
            Path(f"{place}{tail}").unlink(missing_ok=True)
    file.replace(place)
    sync_folder(place.parent)
    _check_kept(manifest)


def _free_aside(place: Path, at: dt.datetime) -> Path:
    """Two restored in the same second both keep what they found."""
    first = place.with_name(f"{place.name}.before-{at:{STAMP}}")
    others = (first.with_name(f"{first.name}-{number}") for number in range(2, 1000))
    return next(path for path in (first, *others) if not path.exists())


def _brought_up(file: Path) -> None:
    """An archive of an older program gets the steps that came since."""
    with sqlite_beside(file) as beside:
        bring_up(beside)


def _check_kept(manifest: Manifest) -> None:
    """Refuse (BadArchive) lost rows; a table that is no more went with a later step."""
    there = {model._meta.db_table for model in own_models()} & set(manifest.rows)
    counts = count_rows("default", there)
    short = {t: n for t, n in counts.items() if n < manifest.rows[t]}
    if short:
        raise BadArchive(f"Rows are missing after restoring: {short}.")


def _postgresql(file: Path, manifest: Manifest, at: dt.datetime, say: Said) -> None:
    old = tables_of("default")
    if old and is_in_use():
        aside, _ = back_up(settings.BACKUPS_DIR / "aside", at=at, recipients=[])
        say(f"The old record is kept as {aside}.")
    drop = "".join(f"DROP TABLE {connection.ops.quote_name(table)} CASCADE;\n" for table in old)
    if file.name == DUMP_FILE:
        _from_dump(file, drop)
        there = sorted(set(manifest.rows) & set(tables_of("default")))
        check_counts(count_rows("default", there), manifest)
        call_command("migrate", verbosity=0)
        return
    _brought_up(file)
    if drop:
        with connection.cursor() as cursor:
            cursor.execute(drop)
    call_command("migrate", verbosity=0)
    with sqlite_beside(file) as beside:
        carry_over(beside, "default")
    _check_kept(manifest)


def _from_dump(file: Path, drop: str) -> None:
    """One transaction: the old tables go only when all the new ones have come."""
    first, script = file.with_name("drop.sql"), file.with_name("dump.sql")
    first.write_text(drop)
    run("pg_restore", "--no-owner", "--no-privileges", f"--file={script}", str(file))
    connections.close_all()
    run(
        *("psql", "--quiet", "--no-psqlrc", "--single-transaction", "--set=ON_ERROR_STOP=1"),
        *(f"--file={first}", f"--file={script}"),
    )
