"""The whole shop written as one file: a row, a photograph at a time, as it stood at one moment."""

from __future__ import annotations

import datetime as dt
import json
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any, Final

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import connection

from fittings.belonging import AnyModel
from fittings.carrying.rows import kind_of, said
from tailorshop import VERSION as PROGRAM
from tailorshop.keeping import snapshot
from tailorshop.keeping.archive import stored
from tailorshop.keeping.files import written_whole
from tailorshop.keeping.manifest import Kept
from tailorshop.keeping.rows import sqlite_beside
from tailorshop.moving.whole import (
    FILES,
    FOLDERS_LEFT,
    LEFT_OUT,
    MANIFEST,
    MANIFEST_DIGEST,
    SCHEMA,
    Manifest,
    fields_that_go,
    member_of,
    models_that_go,
    schema,
)

Said = Callable[[str], None]
AT_ONCE: Final = 500
SAID_EACH: Final = 20_000
_BLOCK: Final = 1 << 16


def go_out(path: Path, *, at: dt.datetime, say: Said = lambda _: None) -> Manifest:
    """Write the shop into a file that is not there yet; it has its name when it is whole.

    The shop goes on working. Raises FileExistsError, OSError where the disk is full, NotTaken.
    """
    if path.exists():
        raise FileExistsError(f"{path} is there already, and nothing is written over.")
    with (
        one_moment(path.parent) as alias,
        written_whole(path) as file,
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as out,
    ):
        return _Going(out, alias, say).all(at)


@contextmanager
def one_moment(folder: Path) -> Iterator[str]:
    """The database as it stands now, under the alias that is yielded: a copy of SQLite's file in
    the folder, which nobody waits for; one transaction of PostgreSQL."""
    if connection.vendor == "sqlite":
        with TemporaryDirectory(prefix=".taking-", dir=folder) as scratch:
            taken = snapshot.take(Path(scratch))
            with sqlite_beside(taken.file) as beside:
                yield beside
    else:
        with snapshot.one_moment():
            yield "default"


class _Going:
    """What is written of one shop."""

    def __init__(self, out: zipfile.ZipFile, alias: str, say: Said) -> None:
        self.out, self.alias, self.say = out, alias, say
        self.files: dict[str, Kept] = {}

    def all(self, at: dt.datetime) -> Manifest:
        models = models_that_go()
        self._add(SCHEMA, [json.dumps(schema(), indent=1).encode()])
        rows = {kind_of(model): self._rows(model) for model in models}
        self._photographs()
        manifest = Manifest(
            made_at=at,
            shop=settings.SHOP_NAME,
            program=PROGRAM,
            rows=rows,
            fields={kind_of(m): [field.name for field in fields_that_go(m)] for m in models},
            files=self.files,
        )
        listed = manifest.written()
        self.out.writestr(MANIFEST, listed)
        self.out.writestr(MANIFEST_DIGEST, sha256(listed).hexdigest())
        return manifest

    def _rows(self, model: AnyModel) -> int:
        count, name = 0, str(model._meta.verbose_name_plural)
        manager: Any = model._base_manager
        rows = manager.using(self.alias).order_by("pk").iterator(chunk_size=AT_ONCE)
        left = LEFT_OUT.get(model, frozenset())

        def lines() -> Iterator[bytes]:
            nonlocal count
            for row in rows:
                told = {key: value for key, value in said(row).items() if key not in left}
                yield json.dumps(told, ensure_ascii=False).encode() + b"\n"
                count += 1
                if count % SAID_EACH == 0:
                    self.say(f"{name}: {count} rows so far")

        self._add(member_of(model), lines())
        if count:
            self.say(f"{name}: {count}")
        return count

    def _photographs(self) -> None:
        count = 0
        for name in stored():
            if name.startswith(FOLDERS_LEFT):
                continue
            try:
                with default_storage.open(name) as file:
                    self._add(FILES + name, _blocks(file), pressed=not name.endswith(".jpg"))
            except FileNotFoundError:  # erased since it was listed
                continue
            count += 1
            if count % 1_000 == 0:
                self.say(f"files: {count} so far")
        self.say(f"files: {count}")

    def _add(self, name: str, pieces: Any, *, pressed: bool = True) -> None:
        member = zipfile.ZipInfo(name)
        member.compress_type = zipfile.ZIP_DEFLATED if pressed else zipfile.ZIP_STORED
        digest, size = sha256(), 0
        pieces = iter(pieces)
        first = next(pieces, b"")  # a file that is gone says so before anything is written of it
        with self.out.open(member, "w", force_zip64=True) as file:
            while first:
                digest.update(first)
                size += len(first)
                file.write(first)
                first = next(pieces, b"")
        self.files[name] = Kept(sha256=digest.hexdigest(), bytes=size)


def _blocks(file: IO[bytes]) -> Iterator[bytes]:
    while block := file.read(_BLOCK):
        yield block
