"""A record that was handed in and waits to be looked at: kept a day at most."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any, Final

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile

from fittings.carrying.opening import Opened
from fittings.refusals import Refused

FOLDER: Final = "handed-in"
KEPT: Final = dt.timedelta(days=1)


def _name(key: uuid.UUID) -> str:
    return f"{FOLDER}/{key}.zip"


def put_aside(file: UploadedFile[Any], *, at: dt.datetime) -> uuid.UUID:
    """Keep a record until it is brought in or left. Refuses (Refused) what is none."""
    Opened.of(file)
    file.seek(0)
    sweep(at)
    key = uuid.uuid4()
    default_storage.save(_name(key), file)
    return key


@contextmanager
def waiting(key: uuid.UUID) -> Iterator[Opened]:
    """The record put aside under this key. Refuses (Refused) where it is there no more."""
    if not default_storage.exists(_name(key)):
        raise Refused("The file is no longer kept: choose it once more.")
    with default_storage.open(_name(key)) as file:
        yield Opened.of(file)


def forget(key: uuid.UUID) -> None:
    default_storage.delete(_name(key))


def sweep(at: dt.datetime) -> None:
    """Delete what was put aside and never brought in."""
    if not default_storage.exists(FOLDER):
        return
    for name in default_storage.listdir(FOLDER)[1]:
        with suppress(FileNotFoundError):  # somebody else is sweeping
            if abs(at - default_storage.get_modified_time(f"{FOLDER}/{name}")) > KEPT:
                default_storage.delete(f"{FOLDER}/{name}")
