"""The queue: rows of the same database, kept by django-tasks. What that leaves out is here: a
worker that died in the midst of its work, and a shop in which none is at work."""

from __future__ import annotations

import datetime as dt
import logging
import time
from typing import TYPE_CHECKING, Any, Final
from uuid import UUID, uuid4

from django.db.models import Q
from django_tasks import TaskContext, TaskResultStatus, task
from django_tasks_db.management.commands.db_worker import Worker
from django_tasks_db.models import DBTaskResult
from django_tasks_db.utils import exclusive_transaction

from fittings.errands.kinds import KINDS
from fittings.errands.shared_clock import shared_now
from fittings.errands.under_way import KEPT, NoLongerOurs, begin, fail
from fittings.models import AtWork, Errand, ErrandState
from fittings.refusals import Refused

if TYPE_CHECKING:
    from tailorshop.models import User

BEAT_S: Final = 5
# Four signs of life left out: on SQLite one may wait for somebody else's long write.
DEAD_AFTER: Final = dt.timedelta(seconds=20)
MOST_TRIES: Final = 3
BROKEN: Final = "Something went wrong here; the log of the shop says where. Nothing was lost."
GIVEN_UP: Final = (
    f"It was begun {MOST_TRIES} times and broken off each time, as when the machine is switched "
    "off. Nothing was lost."
)
# The project's own logger: kinds and numbers, never a word of anybody.
log = logging.getLogger("tailorshop.errands")


class StoppedShort(Exception):
    """Its fault is in the log. The queue, which keeps words of faults, must not quote anybody."""


@task(takes_context=True)
def run(context: TaskContext, key: str) -> None:
    """What the queue calls; does nothing for an errand that ended, or was forgotten."""
    errand = begin(key, worker=context.task_result.worker_ids[-1])
    if errand is None:
        return
    began = time.perf_counter()
    try:
        _make(errand)
    except NoLongerOurs:
        return
    except Exception:
        log.exception("errand stopped short", extra={"said": {"kind": errand.kind}})
        raise StoppedShort from None
    ms = round((time.perf_counter() - began) * 1000)
    log.info("errand", extra={"said": {"kind": errand.kind, "try": errand.tries, "ms": ms}})


def _make(errand: Errand) -> None:
    try:
        _check_may_have(errand.asked_by)
        KINDS[errand.kind].make(errand)
    except NoLongerOurs:
        raise
    except Refused as refused:
        fail(errand, str(refused))
    except Exception:
        said = {"kind": errand.kind, "try": errand.tries}
        log.exception("errand failed", extra={"said": said})
        fail(errand, BROKEN)


def _check_may_have(person: User) -> None:
    """Refuses (Refused) whoever asked as an owner and is none any more."""
    if not person.is_active or person.role != "owner":
        raise Refused("Whoever asked for this may not have it any more.")


def enqueue(errand: Errand) -> None:
    errand.task = UUID(run.enqueue(str(errand.pk)).id)
    errand.save(update_fields=["task"])


def worker(name: str) -> Worker:
    """Does what waits and ends; it looks into the queue as `db_worker` does."""
    return Worker(
        queue_names=["default"],
        interval=0,
        batch=True,
        backend_name="default",
        startup_delay=False,
        max_tasks=None,
        worker_id=name,
        excluded_queue_names=[],
    )


def waits() -> bool:
    return DBTaskResult.objects.ready().exists()


def do_here(errand: Errand) -> None:
    """Do it now, in this process, unless somebody has begun it."""
    name = f"page-{uuid4().hex}"
    with exclusive_transaction():
        row: Any = DBTaskResult.objects.ready().filter(pk=errand.task).get_locked()
        if row is None:
            return
        row.claim(name)
    worker(name).run_task(row)


def beat(name: str) -> None:
    """A worker's sign of life, for itself and for what it is at."""
    now = shared_now()
    AtWork.objects.update_or_create(name=name, defaults={"seen_at": now})
    Errand.objects.filter(worker=name, state=ErrandState.WORKING).update(beat_at=now)


def somebody_is_at_work(now: dt.datetime) -> bool:
    # One from the future is of before the clock was set back.
    return AtWork.objects.filter(seen_at__range=(now - DEAD_AFTER, now + DEAD_AFTER)).exists()


def give_back(now: dt.datetime, *, dead_after: dt.timedelta = DEAD_AFTER) -> int:
    """Let others have what dead workers had begun; returns how many errands."""
    lately, found = (now - dead_after, now + dead_after), 0
    for errand in Errand.objects.under_way().exclude(beat_at__range=lately):
        rows = DBTaskResult.objects.filter(pk=errand.task)
        ready = Q(status=TaskResultStatus.READY)
        if not rows.filter(ready | Q(started_at__range=lately)).exists():
            found += _give_back(errand, now)
    return found


def _give_back(errand: Errand, now: dt.datetime) -> bool:
    """Whether it was still as it was seen: a sign of life since, or another who looked, ends it."""
    same = Errand.objects.under_way().filter(pk=errand.pk, beat_at=errand.beat_at)
    rows = DBTaskResult.objects.filter(pk=errand.task)
    with exclusive_transaction():
        if errand.tries >= MOST_TRIES:
            said = {"state": ErrandState.FAILED, "failure": GIVEN_UP, "ended_at": now}
            given = same.update(**said)
            rows.update(status=TaskResultStatus.FAILED, finished_at=now)
        else:
            given = same.update(state=ErrandState.WAITING, beat_at=now)
            if given and not rows.update(status=TaskResultStatus.READY):
                enqueue(errand)
    log.warning("errand broken off", extra={"said": {"kind": errand.kind, "try": errand.tries}})
    return bool(given)


def how_it_stands(now: dt.datetime) -> dict[str, int | None]:
    """For whoever watches the shop: errands that wait, are at work and failed within a day, and
    seconds since a worker gave a sign of life; None where none runs."""
    rows = Errand.objects.all()
    last = AtWork.objects.order_by("-seen_at").first()
    return {
        "waiting": rows.filter(state=ErrandState.WAITING).count(),
        "working": rows.filter(state=ErrandState.WORKING).count(),
        "failed": rows.filter(state=ErrandState.FAILED).count(),
        "worker_seen_s": round((now - last.seen_at).total_seconds()) if last else None,
    }


def sweep_queue(now: dt.datetime) -> None:
    """Rows of what is done, and of workers that died long ago."""
    DBTaskResult.objects.finished().filter(finished_at__lt=now - KEPT).delete()
    AtWork.objects.exclude(seen_at__range=(now - KEPT, now + KEPT)).delete()
