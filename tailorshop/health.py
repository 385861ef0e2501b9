"""Is the shop open, and fit to work? Two pages that a machine can ask; neither says anything of
anybody."""

from __future__ import annotations

import datetime as dt
import shutil
import uuid
from collections.abc import Callable
from typing import Any, Final

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection
from django.http import HttpRequest, JsonResponse
from django.utils import timezone

from fittings.errands.queue import how_it_stands
from fittings.errands.shared_clock import shared_now
from tailorshop.keeping.archive import last_backup
from tailorshop.models import Role
from tailorshop.steps import door, steps_unknown, steps_waiting

# What a day of photographs and a backup take; below it the shop works on, and is told.
ROOM_MB: Final = 500
# Below this the next save may be the one that fails.
LEAST_ROOM_MB: Final = 50
BACKUP_HOURS: Final = 36
# A code of a telephone is good for half a minute to either side.
CLOCKS_S: Final = 15
WORKS: Final = "works"


def health(request: HttpRequest) -> JsonResponse:
    """200 when the database answers, also while the shop is closed until its steps are made."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return JsonResponse({"database": "answers", "open": not door.is_shut()})


def ready(request: HttpRequest) -> JsonResponse:
    """200 when everything that saving needs works, else 503; the owner and the keeper see what."""
    found: dict[str, str] = {name: _tried(check) for name, check in CHECKS.items()}
    fit = all(said == WORKS for said in found.values())
    answer: dict[str, Any] = {"ready": fit}
    if request.user.is_authenticated and request.user.role in {Role.OWNER, Role.KEEPER}:
        answer |= {"checks": found, "warnings": warnings(timezone.now()), "backup": _backup()}
        if found["database"] == WORKS:
            answer["warnings"] += _clocks()
            answer["errands"] = how_it_stands(shared_now())
    return JsonResponse(answer, status=200 if fit else 503)


def _tried(check: Callable[[], None]) -> str:
    try:
        check()
    except Exception as fault:
        return f"fails: {fault}"
    return WORKS


def _database() -> None:
    """A row is really written, and goes again."""
    row = Session(session_key=f"ready-{uuid.uuid4().hex[:24]}", session_data="")
    row.expire_date = timezone.now()
    row.save(force_insert=True)
    row.delete()


def _photographs() -> None:
    name = default_storage.save(f"ready/{uuid.uuid4().hex}", ContentFile(b"ready"))
    default_storage.delete(name)


def _steps() -> None:
    if waiting := steps_waiting():
        raise RuntimeError(f"{len(waiting)} steps wait, first {waiting[0]}: run manage.py upgrade")
    if unknown := steps_unknown():
        raise RuntimeError(f"the record is of a newer program, which had {unknown[0]}")


def _disk() -> None:
    if (room := _room_mb()) < LEAST_ROOM_MB:
        raise RuntimeError(f"only {room} million bytes are free")


def _clocks() -> list[str]:
    """By another clock than the database's, codes of telephones are refused and sessions differ."""
    ahead_s = round((timezone.now() - shared_now()).total_seconds())
    if abs(ahead_s) <= CLOCKS_S:
        return []
    way = "ahead of" if ahead_s > 0 else "behind"
    return [
        f"The clock of this host is {abs(ahead_s)} seconds {way} that of the database: have both "
        "set by the network."
    ]


CHECKS: Final[dict[str, Callable[[], None]]] = {
    "database": _database,
    "photographs": _photographs,
    "steps": _steps,
    "disk": _disk,
}


def _room_mb() -> int:
    return shutil.disk_usage(settings.VAR_DIR).free // 1_000_000


def _backup() -> str | None:
    last = last_backup()
    return last.isoformat() if last else None


def warnings(now: dt.datetime) -> list[str]:
    """What will be trouble later, and does not take the shop out of use now."""
    said = []
    last = last_backup()
    if last is None:
        said.append("No backup was ever made: run manage.py backup.")
    elif (age := now - last) > dt.timedelta(hours=BACKUP_HOURS):
        hours = age // dt.timedelta(hours=1)
        said.append(f"The last good backup is {hours} hours old: look why there is no newer one.")
    elif age < dt.timedelta(minutes=-5):
        said.append("The last good backup lies in the future: the clock was set back.")
    if LEAST_ROOM_MB <= (room := _room_mb()) < ROOM_MB:
        said.append(f"Only {room} million bytes are free: make room.")
    return said
