"""What stands against a correction of a garment: the inlay that is left, and the stage."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from patterns.rules.case import Stage
from patterns.rules.garment_catalogue import USUAL_INLAYS_MM
from patterns.rules.words import mm

if TYPE_CHECKING:
    from patterns.rules.garment import GarmentCorrection

_STAGES: Final = tuple(Stage)


def inlay_told(correction: GarmentCorrection) -> Iterator[str]:
    """What is short, and how far it goes; where nobody wrote the inlay down, what to look for."""
    place, wanted = correction.remedy.inlay, correction.shift_mm
    if not place:
        return
    left, reached = correction.left_mm, correction.reachable_mm
    if left is None:
        usual = USUAL_INLAYS_MM.get(place)
        told = f" (usually {usual[0]:g} to {usual[1]:g} mm)" if usual else ""
        yield f"Needs {mm(wanted)} of inlay, {place}{told}: look what is left before cutting."
    elif reached < wanted:
        yield (
            f"The inlay at the {place} is {mm(left)}, {mm(wanted)} are needed: "
            f"{mm(wanted - left)} short."
        )
        yield (
            f"Reachable: {mm(reached)} of {mm(wanted)}; {mm(wanted - reached)} cannot be reached "
            "in this cloth. Do the rest on the pattern for the next one, or piece on cloth if the "
            "fitter says so."
        )


def stage_told(correction: GarmentCorrection) -> Iterator[str]:
    latest = Stage(correction.row.latest)
    if _STAGES.index(correction.stage) > _STAGES.index(latest):
        yield (
            f"Usually no longer changed after the {latest} fitting: ask the workroom first "
            "what stands in the way."
        )
