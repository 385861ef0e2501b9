"""A correction of a garment, and what stands against it: the inlay that is left, and the stage.

It is worked on the garment alone: no pattern knows of it (`on_pattern` is false in what a decision
and a ticket keep), so whoever cuts the next one must be told.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from patterns.rules.case import Stage, Tolerances
from patterns.rules.cloth import NOTHING_MM
from patterns.rules.garment_catalogue import USUAL_INLAYS_MM
from patterns.rules.garment_finding import GarmentFinding, Remedy
from patterns.rules.words import mm

OPERATION: Final = "garment"
_STAGES: Final = tuple(Stage)


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentCorrection:
    """One proposed change of a garment on one side ("left", "right", or "" for the whole).

    `left_mm` is what is left of the inlay that it needs, on the whole garment the lesser of both
    sides; None: nobody wrote it down, or none is needed.
    """

    side: str
    row: GarmentFinding
    remedy: Remedy
    shift_mm: float
    because: str
    sources: tuple[str, ...]
    stage: Stage
    left_mm: float | None = None

    @property
    def key(self) -> str:
        """Names this proposal within its side, the same however the amount changes."""
        return f"{OPERATION}:{self.row.id}"

    @property
    def reachable_mm(self) -> float:
        """As much of it as the inlay lets out; a shortfall that nobody could cut is none."""
        if self.left_mm is None or self.shift_mm - self.left_mm <= NOTHING_MM:
            return self.shift_mm
        return self.left_mm

    @property
    def share(self) -> float:
        return self.reachable_mm / self.shift_mm

    @property
    def limits(self) -> tuple[str, ...]:
        return (*_inlay_told(self), *_stage_told(self))

    @property
    def title(self) -> str:
        return f"{self.remedy.words}, {mm(self.shift_mm)}"

    def report(self) -> dict[str, Any]:
        """As a decision and a ticket keep it; shaped as the report of a sleeve's correction is."""
        remedy = self.remedy
        return {
            "key": self.key,
            "operation": OPERATION,
            "on_pattern": False,
            "finding": self.row.id,
            "check": self.row.check,
            "remedy": remedy.id,
            "side": self.side,
            "title": self.title,
            "shift_mm": round(self.shift_mm, 6),
            "sigma_mm": Tolerances().habit_mm,
            "moves": [
                {
                    "piece": edge.piece,
                    "edge": edge.edge,
                    "direction": edge.direction,
                    "mm": {"here": round(self.shift_mm, 6)},
                    "acts": edge.acts,
                    "measured_from": edge.measured_from,
                }
                for edge in remedy.edges
            ],
            "iron": [],
            "inlay": self._inlay(),
            "inlay_place": remedy.inlay,
            "reachable_mm": round(self.reachable_mm, 6),
            "unreachable_mm": round(self.shift_mm - self.reachable_mm, 6),
            "limits": list(self.limits),
            "moves_too": list(remedy.moves_too),
            "predicted": "",
            "do": list(remedy.do),
            "do_not": list(remedy.do_not),
            "warnings": [],
            "provisional": False,
            "from": list(self.sources),
            "because": self.because,
            "law": f"Source: {self.row.source}.",
        }

    def _inlay(self) -> list[dict[str, Any]]:
        """Counted only where somebody wrote down what is left; else the limits say so."""
        if self.left_mm is None:
            return []
        need = round(self.shift_mm, 6)
        return [{"place": self.remedy.account, "needed_mm": need, "left_mm": self.left_mm}]


def _inlay_told(correction: GarmentCorrection) -> Iterator[str]:
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


def _stage_told(correction: GarmentCorrection) -> Iterator[str]:
    latest = Stage(correction.row.latest)
    if _STAGES.index(correction.stage) > _STAGES.index(latest):
        yield (
            f"Usually no longer changed after the {latest} fitting: ask the workroom first "
            "what stands in the way."
        )
