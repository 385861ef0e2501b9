"""The whole shop read from its file into an empty place: checked first, then all or nothing."""

from __future__ import annotations

import json
import zipfile
import zlib
from collections.abc import Callable, Iterator
from hashlib import sha256
from itertools import islice
from pathlib import Path, PurePosixPath
from typing import Any, Final

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.core.management.color import no_style
from django.db import IntegrityError, connection, transaction
from django.db.models import ForeignKey

from fittings.belonging import AnyModel
from fittings.carrying.rows import AnyField, kind_of, own_fields, understood
from fittings.erasing.listed import erase_again
from fittings.erasing.traces import settle
from fittings.refusals import Refused
from fittings.search.keeping import reindex
from patterns.unseen import without_unseen_in
from tailorshop.keeping.manifest import Kept
from tailorshop.keeping.restoring import digest_of
from tailorshop.models import User
from tailorshop.moving.whole import (
    FILES,
    MANIFEST,
    MANIFEST_DIGEST,
    NOT_OURS,
    SCHEMA,
    Manifest,
    member_of,
    models_that_go,
    read_manifest,
)

Said = Callable[[str], None]
AT_ONCE: Final = 500
SAID_EACH: Final = 20_000
LONGEST_LINE: Final = 50_000_000
_BLOCK: Final = 1 << 16
_MOST_LISTED: Final = 500_000_000
_BROKEN: Final = (zipfile.BadZipFile, zlib.error, KeyError, EOFError, RuntimeError, ValueError)


def come_in(path: Path, *, say: Said = lambda _: None) -> Manifest:
    """Bring the shop of the file into this empty one.

    Refuses (Refused), before anything is touched, a file that is damaged or newer than this
    program, and a place where something is kept already. Raises OSError.
    """
    try:
        file = zipfile.ZipFile(path)
    except _BROKEN:
        raise Refused(NOT_OURS) from None
    with file:
        manifest = checked(file)
        say(f"The file is whole: {sum(manifest.rows.values())} rows of {manifest.shop}.")
        _check_is_empty()
        kept = _files_in(file, manifest, say)
        try:
            with transaction.atomic():
                for model in models_that_go():
                    _rows_in(model, file, manifest, say)
                _reset_keys()
                _made_fit(say)
        except BaseException as fault:
            for name in kept:
                default_storage.delete(name)
            if isinstance(fault, IntegrityError):
                words = f"The file does not fit together: {str(fault)[:120]}"
                raise Refused(f"{words}. Nothing was brought in.") from None
            raise
    settle()
    return manifest


def _made_fit(say: Said) -> None:
    """With the rows or not at all: nobody who was erased here is back for a moment."""
    for kind, count in reindex():
        say(f"found again: {count} {kind.label.lower()}")
    if again := erase_again():
        say(f"Erased again, as listed here: {', '.join(again)}.")


def checked(file: zipfile.ZipFile) -> Manifest:
    """What the file says of itself, once every member has proved to be what was written."""
    try:
        listed = _read(file, MANIFEST)
        if sha256(listed).hexdigest().encode() != _read(file, MANIFEST_DIGEST):
            raise Refused("The file's own list is damaged: export the shop once more.")
        manifest = read_manifest(listed)
        names = sorted(file.namelist())
        if names != sorted([*manifest.files, MANIFEST, MANIFEST_DIGEST]):
            raise Refused("The file holds other members than it lists: export once more.")
        for name, kept in manifest.files.items():
            _check(file, name, kept, manifest)
    except _BROKEN:
        raise Refused(f"The file is damaged or cut short. {NOT_OURS}") from None
    return manifest


def _read(file: zipfile.ZipFile, name: str) -> bytes:
    with file.open(name) as member:
        data = member.read(_MOST_LISTED + 1)
    if len(data) > _MOST_LISTED:
        raise ValueError(f"{name} is too long")
    return data


def _check(file: zipfile.ZipFile, name: str, kept: Kept, manifest: Manifest) -> None:
    rows = {member_of(m) for m in models_that_go() if kind_of(m) in manifest.fields}
    inside = PurePosixPath(name.removeprefix(FILES))
    ours = name == SCHEMA or name in rows or name.startswith(FILES)
    if not ours or ".." in inside.parts or inside.is_absolute() or "\\" in name:
        raise Refused(f"The file holds {name[:80]!r}, which is none of ours.")
    digest, size = sha256(), 0
    with file.open(name) as member:
        while block := member.read(_BLOCK):
            digest.update(block)
            size += len(block)
            if size > kept.bytes:
                break
    if (digest.hexdigest(), size) != (kept.sha256, kept.bytes):
        raise Refused(f"{name[:80]} in the file is damaged: export the shop once more.")


def _check_is_empty() -> None:
    used = [m._meta.verbose_name_plural for m in models_that_go() if m._base_manager.exists()]
    if used:
        raise Refused(
            f"Something is kept here already ({', '.join(map(str, used[:3]))}), and a whole shop "
            "goes into an empty one only. Set TAILORSHOP_VAR, and DATABASE_URL if the database is "
            "not in it, to a new place, run manage.py migrate there, then this again."
        )


def _files_in(file: zipfile.ZipFile, manifest: Manifest, say: Said) -> list[str]:
    """The names of the files that were written; those that are here already, left by one who was
    stopped in the middle, are not written again."""
    kept: list[str] = []
    try:
        for member, listed in manifest.files.items():
            name = member.removeprefix(FILES)
            if name == member:
                continue
            there = digest_of(name)
            if there is None:
                with file.open(member) as data:
                    kept.append(default_storage.save(name, File(data)))
            elif there != listed.sha256:
                raise Refused(f"{name[:80]} is here already and is another file: begin elsewhere.")
    except BaseException:
        for one in kept:
            default_storage.delete(one)
        raise
    say(f"files: {len(kept)}")
    return kept


def _rows_in(model: AnyModel, file: zipfile.ZipFile, manifest: Manifest, say: Said) -> None:
    kind, count = kind_of(model), 0
    if kind not in manifest.rows:  # an older program did not know it
        return
    fields = own_fields(model)
    manager: Any = model._base_manager
    rows = _rows_of(model, file)
    while batch := list(islice(rows, AT_ONCE)):
        # raw: what a field would make anew at saving (times of receipt) stays as it was.
        manager._insert(batch, fields=fields, using=manager.db, raw=True)
        count += len(batch)
        if count % SAID_EACH == 0:
            say(f"{model._meta.verbose_name_plural}: {count} of {manifest.rows[kind]}")
    if count != manifest.rows[kind]:
        raise Refused(f"{kind}: {count} rows instead of {manifest.rows[kind]}.")
    if count:
        say(f"{model._meta.verbose_name_plural}: {count}")


def _rows_of(model: AnyModel, file: zipfile.ZipFile) -> Iterator[Any]:
    with file.open(member_of(model)) as lines:
        while line := lines.readline(LONGEST_LINE):
            try:
                told = without_unseen_in(json.loads(line))
            except (ValueError, RecursionError):
                raise Refused(f"A row of {kind_of(model)} cannot be read.") from None
            row: Any = understood(model, told, _key)
            if isinstance(row, User):
                row.set_unusable_password()
            yield row


def _key(field: AnyField, value: Any) -> Any:
    """Keys stay as they are: nothing else is here."""
    target = field.target_field if isinstance(field, ForeignKey) else field
    return target.to_python(value)


def _reset_keys() -> None:
    with connection.cursor() as cursor:
        for order in connection.ops.sequence_reset_sql(no_style(), models_that_go()):
            cursor.execute(order)
