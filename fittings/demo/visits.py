"""What happened at each visit of the invented shop: read, decided, signed, issued and worked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from fittings.demo import factories, pictures
from fittings.demo.telling import Visit
from fittings.fitting_room.decisions import decide, sign
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.proposals import every_side
from fittings.models import EntryKind, Fitting, Order, Side, Ticket
from fittings.ticketing.issuing import issue
from patterns.rules.garment_catalogue import GARMENT_FINDINGS

if TYPE_CHECKING:
    from tailorshop.models import User

OPENING: Final = dt.time(10, 30)
# Fittings of the last days have photographs, where the customer agreed to them.
PHOTOGRAPHED = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """Days before today, and moments in them."""

    today: dt.date
    opened_at: dt.datetime

    def day(self, ago: int) -> dt.date:
        return self.today - dt.timedelta(days=ago)

    def moment(self, ago: int, minutes: int = 0) -> dt.datetime:
        """At the shop's opening that day; of today, nothing lies ahead of the clock."""
        at = dt.datetime.combine(self.day(ago), OPENING, tzinfo=dt.UTC)
        return min(at + dt.timedelta(minutes=minutes), self.opened_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Visits:
    staff: Mapping[str, User]
    days: Days

    def visit(self, order: Order, visit: Visit) -> None:
        order = Order.objects.select_related("pattern_version", "customer").get(pk=order.pk)
        fitting: Fitting = factories.FittingFactory.create(
            order=order,
            stage=visit.stage,
            held_on=self.days.day(visit.days_ago),
            fitter=self.staff["ines"],
        )
        if visit.left_off == "open":
            return
        self._read(fitting, visit)
        if visit.left_off == "read":
            return
        self._decide(fitting, visit)
        if (
            visit.days_ago < PHOTOGRAPHED
            and not visit.seen
            and order.customer.fitting_photo_consent_on
        ):
            pictures.photograph(
                fitting, by=self.staff["ines"], at=self.days.moment(visit.days_ago, 25)
            )
        sign(fitting, by=self.staff["ines"], at=self.days.moment(visit.days_ago, 40))
        if visit.left_off == "signed" or not self._has_work(fitting):
            return
        ticket = issue(
            fitting,
            by=self.staff["ines"],
            at=self.days.moment(visit.days_ago, 45),
            reason_despite_checks="The head is trued on the board; shrink what is left.",
        )
        if visit.left_off == "worked":
            self._work(ticket, visit)

    def _read(self, fitting: Fitting, visit: Visit) -> None:
        checks: list[tuple[str, str, dict[str, Any]]] = [
            ("", EntryKind.CHECK, {"check": "shoulders", "state": "settled"}),
            (
                "",
                EntryKind.CHECK,
                {"check": "balance", "state": "settled" if visit.settled else "open"},
            ),
        ]
        readings = [
            (side, EntryKind.READING, reading)
            for side, read in ((Side.LEFT, visit.left), (Side.RIGHT, visit.right))
            for reading in read
        ]
        seen = [
            (side, EntryKind.FINDING, {"finding": id_, "row": GARMENT_FINDINGS[id_].written()})
            for side, id_ in visit.seen
        ]
        checks = [] if seen else checks
        for minutes, (side, kind, data) in enumerate([*checks, *seen, *readings], start=5):
            add_entry(
                fitting,
                side=side,
                kind=kind,
                data=data,
                by=self.staff["ines"],
                made_at=self.days.moment(visit.days_ago, minutes),
            )

    def _decide(self, fitting: Fitting, visit: Visit) -> None:
        for side in every_side(fitting):
            for proposed in side.all_proposed:
                operation = proposed.document["operation"]
                amount, why = visit.amend.get(operation, (None, ""))
                why = visit.refuse.get(operation, why)
                reachable = proposed.can_accept
                verdict = (
                    "amended"
                    if amount
                    else "refused"
                    if operation in visit.refuse or not reachable
                    else "accepted"
                )
                decide(
                    fitting,
                    side=side.side,
                    key=proposed.correction.key,
                    verdict=verdict,
                    by=self.staff["ines"],
                    at=self.days.moment(visit.days_ago, 30),
                    amount_mm=amount,
                    reason=why or ("" if reachable else "No cloth for it."),
                )

    @staticmethod
    def _has_work(fitting: Fitting) -> bool:
        return any(decision.outcome for decision in fitting.decisions.standing())

    def _work(self, ticket: Ticket, visit: Visit) -> None:
        for line in ticket.lines.all():
            line.done_by, line.done_at = self.staff["tomasz"], self.days.moment(visit.days_ago - 2)
            line.checked_by = self.staff["odile"]
            line.checked_at = self.days.moment(visit.days_ago - 2, 90)
            line.save()
