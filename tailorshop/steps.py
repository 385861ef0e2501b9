"""Has the record every step (migration) that this program needs, and none that it does not know?

Looked at once when a server starts, and again now and then only while the shop is closed for it: an
open shop is never asked.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from django.db import DatabaseError, connection, connections
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.template.loader import render_to_string

OURS: Final = frozenset({"tailorshop", "fittings", "patterns"})
LOOK_AGAIN_S: Final = 5
# Asked by machines: the first says only whether the database answers, which it does.
HEALTH: Final = "/health/"
READY: Final = "/ready/"

BEHIND: Final = "The shop is being brought up to date. On the shop's computer: manage.py upgrade"
AHEAD: Final = (
    "The record was written by a newer version of the program than the one that is running. On the "
    "shop's computer: put the newer version in its place again"
)


def steps_waiting() -> list[str]:
    """The migrations that the database has still to have."""
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [f"{migration.app_label}.{migration.name}" for migration, _ in plan]


def steps_unknown() -> list[str]:
    """Migrations of our own that the database has had and this program does not know."""
    loader = MigrationExecutor(connection).loader
    known = set(loader.disk_migrations or ())
    had = {step for step in loader.applied_migrations or () if step[0] in OURS}
    return sorted(f"{app}.{name}" for app, name in had - known)


@dataclass(slots=True)
class Door:
    """Open until a look has found steps missing; `why` says so in a sentence."""

    why: str = ""
    seen: bool = True
    looked_at: float = field(default_factory=time.monotonic)

    def look(self) -> None:
        """Ask the database; where it cannot be reached, it is asked again with a later request."""
        self.looked_at = time.monotonic()
        try:
            self.why = AHEAD if steps_unknown() else BEHIND if steps_waiting() else ""
            self.seen = True
        except DatabaseError:
            self.seen = False

    def is_shut(self) -> bool:
        if (self.why or not self.seen) and time.monotonic() - self.looked_at > LOOK_AGAIN_S:
            self.look()
        return bool(self.why)


door: Final = Door()


class DoorMiddleware:
    """No page is served from a record that the program does not fit: half of them would break."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.path == HEALTH or not door.is_shut():
            return self.get_response(request)
        return _shut(request)


def _shut(request: HttpRequest) -> HttpResponse:
    """Without anything of the record: who asks, stands in it."""
    answer: HttpResponse
    if request.path == READY:
        answer = JsonResponse({"ready": False, "why": door.why}, status=503)
    else:
        part = request.headers.get("HX-Request") == "true"
        context = {"why": door.why, "part": part}
        answer = HttpResponse(render_to_string("shut.html", context), status=503)
        if part:
            answer["HX-Retarget"], answer["HX-Reswap"] = "#messages", "innerHTML"
    answer["Retry-After"], answer["Cache-Control"] = "30", "no-store"
    return answer


def look_at_the_start() -> None:
    """When a server starts, before its processes part; said once in its log."""
    door.look()
    log = logging.getLogger("tailorshop.steps")
    if not door.seen:
        log.warning("The database cannot be reached at the start.")
    elif door.why:
        log.warning("Closed: the steps of the database and the program do not fit each other.")
    connections.close_all()
