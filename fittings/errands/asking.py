"""Somebody asks for long work: once, however often the button is pressed."""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
from typing import TYPE_CHECKING, Any, Final

from django.core.files.base import File
from django.db import IntegrityError, transaction
from django.db.models import Q

from fittings.errands.queue import do_here, enqueue, give_back, somebody_is_at_work, sweep_queue
from fittings.errands.shared_clock import shared_now
from fittings.errands.under_way import put_beside, sweep
from fittings.models import UNDER_WAY, Customer, Errand, ErrandKind, ErrandState

if TYPE_CHECKING:
    from tailorshop.models import User

MOST_SIGNS: Final = 40


def ask(
    kind: ErrandKind,
    subject: str,
    *,
    by: User,
    at: dt.datetime,
    identity: str = "",
    said: dict[str, Any] | None = None,
    customer: Customer | None = None,
    file: File[Any] | None = None,
) -> Errand:
    """The errand that is made for this; the one there is, where the same form was sent already or
    the same subject is under way for the same person.

    Where no worker is at work it is done before this returns, in the request, as it would be
    without a queue.
    """
    sweep(at)
    asked = {"subject": subject, "said": said or {}, "asked_at": at, "beat_at": shared_now()}
    identity = _identity(identity or secrets.token_urlsafe(16), kind, subject)
    try:
        with transaction.atomic():
            errand = Errand.objects.create(
                kind=kind, asked_by=by, identity=identity, customer=customer, **asked
            )
            if file is not None:
                put_beside(errand, file)
            enqueue(errand)
    except IntegrityError:
        same = Q(identity=identity) | Q(kind=kind, subject=subject, state__in=UNDER_WAY)
        there = Errand.objects.filter(same, asked_by=by).first()
        if there is None:
            raise
        return there
    return _done_by_somebody(errand, at)


def _identity(form: str, kind: str, subject: str) -> str:
    """A form that somebody went back to and filled in otherwise asks for something else."""
    return hashlib.sha256("\0".join((form, kind, subject)).encode()).hexdigest()[:MOST_SIGNS]


def go_on(errand: Errand, at: dt.datetime) -> Errand:
    """Once more, where it failed; here and now, where it waits and nobody is at work. The one that
    was asked for meanwhile, where there is one."""
    anew = {"state": ErrandState.WAITING, "tries": 0, "failure": "", "ended_at": None}
    try:
        with transaction.atomic():
            failed = Errand.objects.filter(pk=errand.pk, state=ErrandState.FAILED)
            if failed.update(beat_at=shared_now(), **anew):
                errand.refresh_from_db()
                enqueue(errand)
    except IntegrityError:
        same = Errand.objects.under_way().filter(kind=errand.kind, subject=errand.subject)
        errand = same.filter(asked_by=errand.asked_by_id).first() or errand
    return _done_by_somebody(errand, at)


def _done_by_somebody(errand: Errand, at: dt.datetime) -> Errand:
    if not somebody_is_at_work(now := shared_now()):
        sweep_queue(at)
        give_back(now)
        do_here(errand)
    errand.refresh_from_db()
    return errand
