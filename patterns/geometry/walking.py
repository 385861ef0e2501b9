"""Walking a pattern: every edge laid to the edge it is sewn to, before cloth is cut."""

from collections.abc import Iterator, Mapping

from patterns.geometry.armhole import Armhole
from patterns.geometry.check import Check, mm
from patterns.geometry.draft import TwoPiece
from patterns.geometry.sleeve import Sleeve
from patterns.geometry.walking_head import quarter_checks, section_checks, smooth_checks
from patterns.geometry.walking_seams import (
    girth_checks,
    grain_check,
    outline_check,
    seam_checks,
    twist_check,
)

__all__ = ["Check", "walk"]

_NOTHING_MM = 0.05  # cloth is not cut finer than this


def walk(
    two_piece: TwoPiece,
    armhole: Armhole,
    sleeve: Sleeve,
    *,
    inlay_needs_mm: Mapping[str, float] | None = None,
    inlay_left_mm: Mapping[str, float] | None = None,
) -> tuple[Check, ...]:
    """Every check of the drafted sleeve in its armhole, in the order a cutter walks.

    `inlay_needs_mm`, `inlay_left_mm`: by place in words, what a change uses and what is left;
    a place of which nothing is known to be left is told and passes.
    """
    return (
        *seam_checks(two_piece),
        *section_checks(two_piece, armhole),
        *smooth_checks(two_piece),
        *quarter_checks(armhole, sleeve),
        *girth_checks(two_piece, sleeve),
        twist_check(two_piece, sleeve),
        *(grain_check(piece) for piece in (two_piece.top, two_piece.under)),
        *(outline_check(piece) for piece in (two_piece.top, two_piece.under)),
        *_inlay_checks(inlay_needs_mm or {}, inlay_left_mm or {}),
    )


def _inlay_checks(needs_mm: Mapping[str, float], left_mm: Mapping[str, float]) -> Iterator[Check]:
    for place, needed_mm in needs_mm.items():
        if needed_mm <= _NOTHING_MM:
            continue
        left = left_mm.get(place)
        after = None if left is None else left - needed_mm
        passed = after is None or after >= -_NOTHING_MM
        if after is None:
            sentence = (
                f"How much inlay is left at the {place} is not written down: {mm(needed_mm)} are "
                "needed, measure before unpicking."
            )
        elif passed:
            sentence = f"{mm(needed_mm)} of inlay at the {place} are used, {mm(after)} remain."
        else:
            sentence = (
                f"The inlay at the {place} would go {mm(after)} below nothing: do less, or piece "
                "on cloth if the fitter says so."
            )
        yield Check(
            id="inlay-" + place.replace(",", "").replace(" ", "-"),
            what=f"inlay at the {place}",
            passed=passed,
            sentence=sentence,
            measured_mm=after,
            allowed_mm=0.0,
        )
