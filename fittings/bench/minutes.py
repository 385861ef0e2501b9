"""How long an alteration takes: the owner's table, corrected by what the workroom wrote down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from django.core.cache import cache
from django.db.models import Count, Sum

from fittings.models import OperationTime, Ticket, TicketLine
from patterns.rules.correction import Operation
from patterns.rules.garment_correction import OPERATION

# Work on the garment itself is told apart by the check at which it was seen.
OF_GARMENT: Final = f"{OPERATION}:"

# One sleeve, or one seam of the garment on one side, ripped, altered and set again, in minutes:
# trade guess, no source.
GUESS: Final[Mapping[str, int]] = {
    Operation.PITCH: 40,
    Operation.RECUT: 150,
    Operation.SEAM_SHIFT: 45,
    Operation.CROWN: 50,
    Operation.FRONT_OF_HEAD: 40,
    Operation.EASE: 40,
    Operation.WIDTH: 45,
    Operation.BEND: 35,
    Operation.FOREARM: 30,
    Operation.UNDER_HEAD: 35,
    Operation.ARMHOLE: 60,
    Operation.LENGTH: 30,
    f"{OF_GARMENT}balance": 60,
    f"{OF_GARMENT}shoulders": 50,
    f"{OF_GARMENT}collar": 60,
    f"{OF_GARMENT}chest": 45,
    f"{OF_GARMENT}waist": 35,
    f"{OF_GARMENT}fronts": 60,
    f"{OF_GARMENT}neck": 40,
    f"{OF_GARMENT}sides": 30,
    f"{OF_GARMENT}points": 40,
    f"{OF_GARMENT}length": 25,
    f"{OF_GARMENT}waistband": 25,
    f"{OF_GARMENT}seat": 30,
    f"{OF_GARMENT}rise": 60,
    f"{OF_GARMENT}leg": 40,
    OPERATION: 45,
}
NAMES: Final[Mapping[str, str]] = {
    Operation.PITCH: "re-pitch a sleeve",
    Operation.RECUT: "recut a sleeve",
    Operation.SEAM_SHIFT: "move the seams of a sleeve",
    Operation.CROWN: "raise or lower the crown",
    Operation.FRONT_OF_HEAD: "more round in front of the head",
    Operation.EASE: "more or less ease in the head",
    Operation.WIDTH: "let out or take in the width",
    Operation.BEND: "more or less bend at the elbow",
    Operation.FOREARM: "stretch or fill the forearm",
    Operation.UNDER_HEAD: "trim the head of the under sleeve",
    Operation.ARMHOLE: "alter the armhole",
    Operation.LENGTH: "lengthen or shorten the sleeve",
    f"{OF_GARMENT}balance": "balance a coat or a waistcoat: front and back length",
    f"{OF_GARMENT}shoulders": "alter a shoulder of a coat",
    f"{OF_GARMENT}collar": "alter collar and neck of a coat",
    f"{OF_GARMENT}chest": "alter chest, back or armhole of a coat",
    f"{OF_GARMENT}waist": "alter waist, hips or vents of a coat",
    f"{OF_GARMENT}fronts": "alter fronts or length of a coat",
    f"{OF_GARMENT}neck": "alter neck or armhole of a waistcoat",
    f"{OF_GARMENT}sides": "alter the sides of a waistcoat",
    f"{OF_GARMENT}points": "alter the points of a waistcoat",
    f"{OF_GARMENT}length": "alter the length of a waistcoat or of a trouser leg",
    f"{OF_GARMENT}waistband": "alter the waist of trousers",
    f"{OF_GARMENT}seat": "alter the seat of trousers",
    f"{OF_GARMENT}rise": "alter fork or rise of trousers",
    f"{OF_GARMENT}leg": "swing or close a leg of trousers",
    OPERATION: "alter any other seam of a garment",
}
# A line whose kind of work is not in the table, from a drawing or a paper of another time.
UNKNOWN_MINUTES: Final = 40
# The table counts as much as so many recorded times: our choice, so that one odd day moves little.
TABLE_WEIGHS: Final = 3
OF_LATE_S: Final = 600

# By kind of work: how often its minutes were recorded, and all of them together.
Recorded = dict[str, tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """Minutes for one line of a kind of work: what the table says, what was recorded, what follows.

    `recorded_minutes` is the mean of `recorded` times; None while there are none.
    """

    operation: str
    table_minutes: int
    is_guess: bool
    recorded: int
    recorded_minutes: float | None

    @property
    def minutes(self) -> int:
        """The mean of the recorded times and the table, which counts as `TABLE_WEIGHS` of them."""
        if self.recorded_minutes is None:
            return self.table_minutes
        weighed = self.table_minutes * TABLE_WEIGHS + self.recorded_minutes * self.recorded
        return round(weighed / (TABLE_WEIGHS + self.recorded))

    @property
    def name(self) -> str:
        return NAMES[self.operation]

    @property
    def is_of_garment(self) -> bool:
        return self.operation.startswith(OPERATION)


def kind_of(operation: str | None, check: str | None) -> str:
    """The row of the table by which a line is reckoned: its operation; of the garment, its check.

    A check that has no row of its own is reckoned with any other seam.
    """
    if operation != OPERATION:
        return operation or ""
    kind = f"{OF_GARMENT}{check}"
    return kind if kind in GUESS else OPERATION


class Estimates:
    """The minutes of every kind of work, as the table stands now and, where it is not given, the
    record: four queries."""

    def __init__(self, recorded: Recorded | None = None) -> None:
        table = dict(OperationTime.objects.values_list("operation", "minutes"))
        recorded = recorded_now() if recorded is None else recorded
        self.rows = [
            Estimate(
                operation=str(operation),
                table_minutes=table.get(operation, guess),
                is_guess=operation not in table,
                recorded=recorded.get(operation, (0, 0))[0],
                recorded_minutes=_mean(*recorded.get(operation, (0, 0))),
            )
            for operation, guess in GUESS.items()
        ]
        self._of = {row.operation: row.minutes for row in self.rows}

    def of(self, kind: str) -> int:
        return self._of.get(kind, UNKNOWN_MINUTES)

    def in_all(self, kinds: Iterable[str]) -> int:
        return sum(map(self.of, kinds))


def recorded_of_late() -> Recorded:
    """The record as it stood at most ten minutes ago: summing up the lines of years takes longer
    than all else of a page, and ten minutes of work move little in it."""
    return cache.get_or_set("recorded-minutes", recorded_now, OF_LATE_S) or {}


def recorded_now() -> Recorded:
    """Kind of work -> how often it was recorded, minutes in all; a reissued line counts once.

    Summed over all papers, off an index that knows nothing of papers; what stands on superseded
    ones, which are few, is taken off again.
    """
    lines = TicketLine.objects.filter(minutes__isnull=False)
    superseded = Ticket.objects.filter(supersedes__isnull=False).order_by().values("supersedes")
    found: Recorded = {}
    for sign, rows in ((1, lines), (-1, lines.filter(ticket__in=superseded))):
        sums = rows.order_by().values_list("operation", "at_check")
        for operation, check, times, whole in sums.annotate(Count("minutes"), Sum("minutes")):
            kind = kind_of(operation, check)
            before = found.get(kind, (0, 0))
            found[kind] = (before[0] + sign * times, before[1] + sign * whole)
    return found


def _mean(times: int, whole: int) -> float | None:
    return whole / times if times else None


def said(minutes: int) -> str:
    """`45 min`, `2 h`, `2 h 15 min`."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"
