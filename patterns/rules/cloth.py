"""What a correction costs in inlay, and how far the inlay and the quarters let it go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from patterns.rules.case import Case, InlayPlace, Stage
from patterns.rules.correction import Correction, InlayNeed
from patterns.rules.words import listed, mm


def needs(case: Case, wanted_mm: Mapping[InlayPlace, float]) -> tuple[InlayNeed, ...]:
    """The places that need cloth (mm > 0) against what is left there; other places are dropped."""
    return tuple(
        InlayNeed(place=place, needed_mm=needed, left_mm=case.inlays_mm.get(place))
        for place, needed in wanted_mm.items()
        if needed > 1e-9
    )


def within_inlay(case: Case, correction: Correction) -> Correction:
    """The same correction with its share cut to what the inlays reach, and the sentence for it.

    Before the cloth is cut nothing limits. A place that nobody wrote down limits nothing and is
    said.
    """
    if case.stage is Stage.MEASURED:
        return correction
    limits = [_unknown(need) for need in correction.inlays if need.left_mm is None]
    share = correction.share
    for need in correction.inlays:
        if need.left_mm is not None and need.short_mm > 0:
            share = min(share, need.left_mm / need.needed_mm)
            limits.append(
                f"The inlay at the {need.place.words} is {mm(need.left_mm)}, "
                f"{mm(need.needed_mm)} are needed: {mm(need.short_mm)} short."
            )
    if share < correction.share:
        reached = correction.shift_mm * share
        limits.append(
            f"Reachable: {mm(reached)} of {mm(correction.shift_mm)}; "
            f"{mm(correction.shift_mm - reached)} cannot be reached in this cloth. "
            "Do the rest on the pattern for the next one, or piece on cloth if the fitter says so."
        )
    return replace(correction, share=share, limits=correction.limits + tuple(limits))


def _unknown(need: InlayNeed) -> str:
    return (
        f"How much inlay is left at the {need.place.words} is not written down: "
        f"{mm(need.needed_mm)} are needed, measure before unpicking."
    )


def stage_limits(case: Case, correction: Correction) -> tuple[str, ...]:
    """What the stage says against a correction, in sentences (trade practice, no source)."""
    changes_late = {"length", "pitch", "width"}
    if case.stage is Stage.DELIVERED and correction.operation.value != "length":
        return (
            "The garment is delivered: the sleeve's length is the usual alteration, "
            "this one means taking the sleeve out.",
        )
    if case.stage is Stage.FINISH and correction.operation.value not in changes_late:
        return (
            f"At the finish fitting only length and a small pitch are usual: "
            f"{listed(['a ' + correction.operation.value.replace('_', ' ')])} reopens the sleeve.",
        )
    return ()
