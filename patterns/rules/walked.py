"""A side of a pattern walked, and which checks fail that held in the version before."""

from __future__ import annotations

from collections.abc import Mapping

from patterns.geometry.check import Check
from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.walking import walk
from patterns.rules.case import InlayPlace
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece

Amounts = Mapping[InlayPlace, float]


def walked(
    side: SidePattern, *, needs_mm: Amounts | None = None, left_mm: Amounts | None = None
) -> tuple[Check, ...]:
    """Every check of one side; where it cannot be drafted at all, that one refusal.

    `needs_mm`, `left_mm`: inlay that a change uses, and inlay that is left for it.
    """
    try:
        armhole = side.armhole
        pieces = two_piece(side)
    except GeometryRefused as refused:
        return (
            Check(id="draft", what="drafting the two pieces", passed=False, sentence=str(refused)),
        )
    return walk(
        pieces,
        armhole,
        side.sleeve,
        inlay_needs_mm={place.words: mm for place, mm in (needs_mm or {}).items()},
        inlay_left_mm={place.words: mm for place, mm in (left_mm or {}).items()},
    )


def newly_failed(before: tuple[Check, ...] | None, after: tuple[Check, ...]) -> tuple[Check, ...]:
    """The checks that fail now and did not fail before (None: there was nothing before)."""
    failed = {check.id for check in before or () if not check.passed}
    return tuple(check for check in after if not check.passed and check.id not in failed)
