"""What the bench still owes to a fitting that is near."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from django.db.models import Count, Exists, OuterRef, Q
from django.urls import reverse
from django.utils import timezone

from fittings.diary.days import midnight
from fittings.models import PlannedFitting, Stage, Ticket, TicketLine

# As far as a reminder looks: over a Sunday and a holiday.
AHEAD: Final = dt.timedelta(days=4)
MOST: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenTicket:
    """The newest paper of a ticket, with lines that wait to be done or checked."""

    number: str
    revision: int
    to_do: int
    to_check: int

    @property
    def address(self) -> str:
        return reverse("ticket", args=[self.number, self.revision])

    @property
    def words(self) -> str:
        to_do = f"{_lines(self.to_do)} open" if self.to_do else ""
        to_check = f"{_lines(self.to_check)} done and not checked" if self.to_check else ""
        return " and ".join(part for part in (to_do, to_check) if part)


def _lines(count: int) -> str:
    return "1 line is" if count == 1 else f"{count} lines are"


def open_work(orders: Iterable[int]) -> dict[int, list[OpenTicket]]:
    """By order: the tickets of it that still ask for work. One question to the database."""
    wanted = list(orders)
    if not wanted:
        return {}
    later = Ticket.objects.filter(supersedes=OuterRef("ticket"))
    lines = TicketLine.objects.filter(
        ~Exists(later),
        checked_at=None,
        ticket__order__in=wanted,
        ticket__order__customer__erased_on=None,
    )
    counted = (
        lines.order_by()
        .values_list("ticket__order", "ticket__number", "ticket__revision")
        .annotate(
            to_do=Count("pk", filter=Q(done_at=None)),
            to_check=Count("pk", filter=~Q(done_at=None)),
        )
    )
    found: dict[int, list[OpenTicket]] = defaultdict(list)
    for order, number, revision, to_do, to_check in counted.order_by("ticket__number"):
        found[order].append(
            OpenTicket(number=number, revision=revision, to_do=to_do, to_check=to_check)
        )
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """A fitting that waits, today or on the next day with any, and what it is still owed."""

    row: PlannedFitting
    day: dt.date
    today: dt.date
    tickets: list[OpenTicket]

    @property
    def is_today(self) -> bool:
        return self.day == self.today

    @property
    def when(self) -> str:
        near = {0: "today", 1: "tomorrow"}
        said = near.get((self.day - self.today).days, f"on {self.day:%A}")
        return f"{said} at {timezone.localtime(self.row.starts_at):%H:%M}"

    @property
    def not_cut(self) -> bool:
        return self.row.order.stage == Stage.MEASURED

    @property
    def is_owed(self) -> bool:
        return bool(self.tickets) or self.not_cut


def near(today: dt.date) -> list[Near]:
    """Today's fittings that wait to be started, and those of the next day that has any."""
    rows = PlannedFitting.objects.reachable().waiting()
    rows = rows.between(midnight(today), midnight(today + AHEAD))
    found = list(rows.select_related("order__customer", "with_whom")[:MOST])
    days = {row.pk: timezone.localdate(row.starts_at) for row in found}
    next_day = min((day for day in days.values() if day > today), default=today)
    shown = [row for row in found if days[row.pk] <= next_day]
    work = open_work({row.order_id for row in shown})
    return [
        Near(row=row, day=days[row.pk], today=today, tickets=work.get(row.order_id, []))
        for row in shown
    ]
