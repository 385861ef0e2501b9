"""What a correction costs in inlay, and how far the inlay and the quarters let it go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from patterns.rules.case import Case, InlayPlace, Stage
from patterns.rules.correction import Correction, InlayNeed, Operation
from patterns.rules.words import mm

# Cloth is not cut finer than this: a shortfall below it is none.
NOTHING_MM: Final = 0.05
# Past this a sleeve is recut and not turned (sleeve geometry, section 2).
MOST_TURNED_MM: Final = 20.0
STILL_AT_FINISH: Final = frozenset({Operation.LENGTH, Operation.PITCH, Operation.WIDTH})


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
    wanted = {need.place: need.needed_mm for need in correction.inlays}
    correction = replace(correction, inlays=needs(case, wanted))
    limits = [_unknown(need) for need in correction.inlays if need.left_mm is None]
    share = correction.share
    for need in correction.inlays:
        if need.left_mm is not None and need.short_mm > NOTHING_MM:
            share = min(share, need.left_mm / need.needed_mm)
            limits.append(
                f"The inlay at the {need.place.words} is {mm(need.left_mm)}, "
                f"{mm(need.needed_mm)} are needed: {mm(need.short_mm)} short."
            )
    if correction.operation is Operation.RECUT and share < correction.share:
        share, turning = _by_turning(case, correction, share)
        limits += [turning] if turning else []
    if share < correction.share:
        reached = correction.shift_mm * share
        limits.append(
            f"Reachable: {mm(reached)} of {mm(correction.shift_mm)}; "
            f"{mm(correction.shift_mm - reached)} cannot be reached in this cloth. "
            "Do the rest on the pattern for the next one, or piece on cloth if the fitter says so."
        )
    return replace(correction, share=share, limits=correction.limits + tuple(limits))


def _by_turning(case: Case, correction: Correction, share: float) -> tuple[float, str]:
    """A turn in the armhole needs no cloth: how much of a recut it reaches, where that is more."""
    back_mm, forward_mm = case.turning_room_mm()
    room_mm = min(forward_mm if correction.shift_mm > 0 else -back_mm, MOST_TURNED_MM)
    turned = min(correction.share, room_mm / abs(correction.shift_mm))
    if turned <= share:
        return share, ""
    return turned, f"Turning the notches instead reaches {mm(room_mm)} without any cloth."


def _unknown(need: InlayNeed) -> str:
    return (
        f"How much inlay is left at the {need.place.words} is not written down: "
        f"{mm(need.needed_mm)} are needed, measure before unpicking."
    )


def stage_limits(case: Case, correction: Correction) -> tuple[str, ...]:
    """What the stage says against a correction, in sentences (trade practice, no source)."""
    operation = correction.operation
    if case.stage is Stage.DELIVERED and operation is not Operation.LENGTH:
        return ("The garment is delivered: anything but length means taking the sleeve out.",)
    if case.stage is Stage.FINISH and operation not in STILL_AT_FINISH:
        return (
            "At the finish fitting only length, width and a small pitch are usual; this one takes "
            "the sleeve out again.",
        )
    lowered = operation is Operation.ARMHOLE and correction.shift_mm < 0
    if case.stage is Stage.FORWARD and (lowered or operation is Operation.RECUT):
        return (
            "At the forward fitting the armhole only gets smaller and sleeves are not usually "
            "recut: this one takes the sleeve out.",
        )
    return ()


def spend(case: Case, correction: Correction) -> Case:
    """The case with the inlay that this correction uses taken from what is left."""
    left = dict(case.inlays_mm)
    for need in correction.inlays:
        if need.place in left:
            left[need.place] = max(0.0, left[need.place] - need.needed_mm * correction.share)
    return replace(case, inlays_mm=left)
