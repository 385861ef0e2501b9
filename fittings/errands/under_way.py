"""An errand from its beginning to its end: every change asks whether this try still counts."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from fittings.errands.shared_clock import shared_now
from fittings.models import BookStep, Customer, Errand, ErrandState

FOLDER: Final = "errands"
KEPT: Final = dt.timedelta(days=1)
# Of what holds somebody's data, once it was fetched whole: for a download that came to nothing.
KEPT_FETCHED: Final = dt.timedelta(hours=1)
HANDED_IN: Final = "handed-in"


class NoLongerOurs(Exception):
    """The errand was forgotten, or given to another worker: whatever was made does not count."""


def begin(key: UUID | str, *, worker: str) -> Errand | None:
    """Take an errand that waits; None where it does not, or was forgotten."""
    waiting = Errand.objects.filter(pk=key, state=ErrandState.WAITING)
    begun = {"state": ErrandState.WORKING, "worker": worker, "beat_at": shared_now()}
    if not waiting.update(tries=F("tries") + 1, done=0, total=0, **begun):
        return None
    return Errand.objects.filter(pk=key).first()


def change(errand: Errand, **said: Any) -> None:
    """Write it down while this try counts. Raises NoLongerOurs once it does not."""
    ours = Errand.objects.filter(pk=errand.pk, tries=errand.tries, state=ErrandState.WORKING)
    if not ours.update(beat_at=shared_now(), **said):
        raise NoLongerOurs


def told(errand: Errand, done: int, total: int) -> None:
    """How far it is."""
    change(errand, done=done, total=total)


def finish(errand: Errand, **said: Any) -> None:
    change(errand, state=ErrandState.DONE, ended_at=timezone.now(), **said)


def fail(errand: Errand, sentence: str) -> None:
    said = {"failure": sentence[:300], "ended_at": timezone.now()}
    change(errand, state=ErrandState.FAILED, **said)


def finish_with(errand: Errand, file: File[Any], ending: str) -> None:
    """Keep the file that was made, or nothing of it where this try no longer counts."""
    name = default_storage.save(f"{_folder(errand.pk)}/{errand.tries}.{ending}", file)
    try:
        finish(errand, file=name)
    except BaseException:
        default_storage.delete(name)
        raise


def put_beside(errand: Errand, file: File[Any]) -> None:
    """Keep a file that the errand needs until it is done."""
    default_storage.save(f"{_folder(errand.pk)}/{HANDED_IN}", file)


def put_beside_there(errand: Errand) -> File[Any]:
    return default_storage.open(f"{_folder(errand.pk)}/{HANDED_IN}")


def drop_beside(errand: Errand) -> None:
    default_storage.delete(f"{_folder(errand.pk)}/{HANDED_IN}")


def fetched(errand: Errand, at: dt.datetime) -> None:
    """Write down that it was fetched whole; the first time counts."""
    Errand.objects.filter(pk=errand.pk, fetched_at=None).update(fetched_at=at)


def is_over(errand: Errand, now: dt.datetime) -> bool:
    """Whether it has been kept for as long as it is kept. What ended, or was fetched, by a clock
    that ran ahead is over too, or it would stay until that day has come."""
    since = ((errand.ended_at, KEPT), (errand.fetched_at, KEPT_FETCHED))
    return not errand.is_under_way and any(at and abs(now - at) > kept for at, kept in since)


def forget_packed(customer: Customer) -> None:
    """Delete what was packed of a customer, or is being packed, once this is written: what it
    holds was taken back or is there no more."""
    with transaction.atomic():
        for key in forget_of(customer):
            transaction.on_commit(partial(forget_files, key))


def forget_of(customer: Customer) -> list[UUID]:
    """Delete the rows of what was asked about a customer. Returns their keys: `forget_files` of
    them is to be called once the record is written."""
    rows = Errand.objects.filter(customer=customer)
    keys = list(rows.values_list("pk", flat=True))
    rows.delete()
    return keys


def forget_files(key: UUID | str) -> None:
    folder = _folder(key)
    for name in _inside(folder)[1]:
        default_storage.delete(f"{folder}/{name}")
    default_storage.delete(folder)


def sweep(now: dt.datetime) -> None:
    """Forget what is over, half a book that nobody asked for again, and stray files."""
    for errand in Errand.objects.ended().select_related("book"):
        if not is_over(errand, now):
            continue
        forget_files(errand.pk)
        if errand.book is not None and errand.book.step == BookStep.READING:
            errand.book.delete()
        errand.delete()
    for folder in _inside(FOLDER)[0]:
        if _is_stray(folder, now):
            forget_files(folder)


def _is_stray(folder: str, now: dt.datetime) -> bool:
    """A folder that we made, of no errand there is, with nothing new in it."""
    try:
        key = UUID(folder)
    except ValueError:
        return False
    names = [f"{FOLDER}/{folder}/{name}" for name in _inside(f"{FOLDER}/{folder}")[1]]
    try:
        old = all(abs(now - default_storage.get_modified_time(name)) > KEPT for name in names)
    except FileNotFoundError:  # somebody else is sweeping
        return False
    return old and not Errand.objects.filter(pk=key).exists()


def _folder(key: UUID | str) -> str:
    return f"{FOLDER}/{key}"


def _inside(folder: str) -> tuple[list[str], list[str]]:
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return [], []
    return list(folders), list(files)
