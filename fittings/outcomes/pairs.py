"""Which reading answers which correction: the next one of the same thing on the same side.

Pure: what the record holds comes in, pairs go out. All mm, signed as the correction.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

# A reading that another change on the same side moves as well: a bent or turned forearm carries
# the cuff with it, a moved crown tips the whole sleeve (sleeve geometry, sections 3 and 5).
MOVES_TOO: Final = {
    "pitch": frozenset({"bend", "crown", "armhole-depth", "armhole-front"}),
    "elbow-direction": frozenset({"hindarm-shows", "forearm-shows"}),
    "hindarm-shows": frozenset({"elbow-direction", "pitch"}),
    "bend": frozenset({"pitch", "forearm"}),
    "length": frozenset({"crown", "armhole-depth"}),
    "crown": frozenset({"ease", "armhole-depth"}),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A correction that went onto a ticket. `before_mm` is what the readings needed then; `turn`
    counts the tickets, so that what was worked between two readings is known."""

    decision: uuid.UUID
    side: str
    rule: str
    before_mm: float
    before_sigma_mm: float
    worked_mm: float
    shop_share: float = 1.0
    measured: bool = True
    provisional: bool = False
    done: bool = True
    next_garment: bool = False
    turn: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What the readings of one thing came to at the later fitting."""

    side: str
    rule: str
    need_mm: float
    sigma_mm: float
    measured: bool = True
    settled: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    worked: Worked
    seen: Seen
    why_not_counted: str


def pairs(worked: Iterable[Worked], seen: Iterable[Seen]) -> Iterator[Pair]:
    """One pair for each reading that something was worked for; `worked` oldest first.

    Only measured readings make a pair: a usual amount says nothing of what the sleeve did.
    """
    all_worked = list(worked)
    newest = {(one.side, one.rule): one for one in all_worked}
    for after in seen:
        before = newest.get((after.side, after.rule))
        if before is not None and after.measured and before.measured:
            yield Pair(
                worked=before, seen=after, why_not_counted=_why_not(before, after, all_worked)
            )


def _why_not(before: Worked, after: Seen, all_worked: list[Worked]) -> str:
    """Why the shop learns nothing from a pair; "" where it does."""
    if before.next_garment:
        return "Another garment: it was cut so, not altered."
    if before.provisional or not after.settled:
        return "Balance or shoulders were not settled at both fittings."
    if not before.done:
        return "The ticket's line was not ticked as done."
    also = MOVES_TOO.get(before.rule, frozenset())
    since = (w for w in all_worked if w.side == before.side and w.turn >= before.turn)
    if any(one.rule in also for one in since):
        return "Something else was worked that moves the same reading."
    return ""
