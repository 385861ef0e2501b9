"""How long an alteration takes: the owner's table, corrected by what the workroom wrote down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from django.db.models import Count, Sum

from fittings.models import OperationTime, TicketLine
from patterns.rules.correction import Operation
from patterns.rules.garment import OPERATION

# One sleeve (or one seam of the garment), ripped, altered and set again, in minutes:
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
    OPERATION: "alter a seam of the garment itself",
}
# A line whose operation is not in the table, from a drawing or a paper of another time.
UNKNOWN_MINUTES: Final = 40
# The table counts as much as so many recorded times: our choice, so that one odd day moves little.
TABLE_WEIGHS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """Minutes for one line of an operation: what the table says, what was recorded, what follows.

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


class Estimates:
    """The minutes of every operation, as the table and the record stand now: two queries."""

    def __init__(self) -> None:
        table = dict(OperationTime.objects.values_list("operation", "minutes"))
        recorded = _recorded()
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

    def of(self, operation: str | None) -> int:
        return self._of.get(operation or "", UNKNOWN_MINUTES)

    def in_all(self, operations: Iterable[str | None]) -> int:
        return sum(map(self.of, operations))


def _recorded() -> dict[str, tuple[int, int]]:
    """Operation -> how often it was recorded, minutes in all; a reissued line counts once."""
    lines = TicketLine.objects.exclude(minutes=None).filter(ticket__superseded_by=None)
    rows = lines.order_by().values_list("content__operation")
    found = rows.annotate(times=Count("pk"), whole=Sum("minutes"))
    return {operation: (times, whole) for operation, times, whole in found}


def _mean(times: int, whole: int) -> float | None:
    return whole / times if times else None


def said(minutes: int) -> str:
    """`45 min`, `2 h`, `2 h 15 min`."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"
