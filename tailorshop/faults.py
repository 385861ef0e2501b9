"""The machine refuses: disk full or read-only, database or store gone. Said in words, with what
was kept."""

from __future__ import annotations

import errno
import os
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from django.conf import settings
from django.db import DatabaseError, InterfaceError, OperationalError, connection


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What happened and what to do: who uses a page, and who runs a command (`by_keeper`);
    `retry_s` is when trying again is worth it."""

    happened: str
    todo: str
    by_keeper: str
    retry_s: int


FULL: Final = Fault(
    happened="The disk of the shop's computer is full.",
    todo="Tell the one who runs the computer: room has to be made before anything can be saved.",
    by_keeper="Make room on it.",
    retry_s=300,
)
READ_ONLY: Final = Fault(
    happened="The shop's computer may not write to its disk.",
    todo="Tell the one who runs the computer: the disk is read-only or belongs to another account.",
    by_keeper="Make the folder writable for this account, or set TAILORSHOP_VAR to one that is.",
    retry_s=300,
)
BUSY: Final = Fault(
    happened="The record was busy for too long.",
    todo="Wait a moment, then try again.",
    by_keeper="Wait a moment.",
    retry_s=5,
)
GONE: Final = Fault(
    happened="The record cannot be reached just now.",
    todo="Wait half a minute, then try again; if it stays so, tell the one who runs the computer.",
    by_keeper="See that the database runs, DATABASE_URL is right and manage.py migrate was run.",
    retry_s=30,
)
STORE: Final = Fault(
    happened="The store of the photographs cannot be reached just now.",
    todo="Wait half a minute, then try again; if it stays so, tell the one who runs the computer.",
    by_keeper="See that it answers, that the bucket is there and TAILORSHOP_S3_... are right.",
    retry_s=30,
)
_DISK: Final = {
    errno.ENOSPC: FULL,
    errno.EDQUOT: FULL,
    errno.EFBIG: FULL,
    errno.EROFS: READ_ONLY,
    errno.EACCES: READ_ONLY,
    errno.EPERM: READ_ONLY,
}
# What SQLite asks for at least when it writes.
_PAGE_BYTES: Final = 64_000
_EMPTY_BYTES: Final = 4096
# As SQLite and PostgreSQL say it.
_SAID: Final = (
    ("is full", FULL),
    ("No space left", FULL),
    ("readonly", READ_ONLY),
    ("read-only", READ_ONLY),
    ("locked", BUSY),
    ("deadlock", BUSY),
)


class StoreGone(OSError):
    """The store that several hosts share does not answer, or refuses."""


def fault_of(raised: BaseException | None) -> Fault | None:
    """What the machine refused, or None where it is a fault of the program."""
    if isinstance(raised, DatabaseError | InterfaceError):
        said = str(raised)
        known = next((fault for words, fault in _SAID if words in said), None)
        gone = isinstance(raised, OperationalError | InterfaceError)
        return known or (_why_gone(said) if gone else None)
    if isinstance(raised, StoreGone):
        return STORE
    if isinstance(raised, OSError):
        return _DISK.get(raised.errno or 0)
    return None


def _why_gone(said: str) -> Fault | None:
    """SQLite says no more than that it cannot open its file, or finds nothing in it."""
    if "no such" in said:
        return GONE if "no such table" in said and _is_empty() else None
    if "unable to open" in said and not os.access(settings.VAR_DIR, os.W_OK):
        return READ_ONLY
    if "disk I/O" in said and shutil.disk_usage(settings.VAR_DIR).free < _PAGE_BYTES:
        return FULL
    return GONE


def _is_empty() -> bool:
    """Where its file was taken away, SQLite begins an empty one."""
    if connection.vendor != "sqlite":
        return False
    file = Path(connection.settings_dict["NAME"])
    log = file.with_name(f"{file.name}-wal")
    written = log.is_file() and log.stat().st_size > 0
    return file.is_file() and file.stat().st_size <= _EMPTY_BYTES and not written
