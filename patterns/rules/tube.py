"""The sleeve below the head: width, length, the bend of the elbow, the forearm edge.

Each takes the amount in mm, signed as its docstring says.
"""

from __future__ import annotations

from patterns.geometry.crown import lift_from_crown
from patterns.geometry.refusals import BadMeasure
from patterns.geometry.section import Section, bend_from_lengths
from patterns.geometry.sleeve import Levels
from patterns.rules import words
from patterns.rules.case import Case, InlayPlace
from patterns.rules.cloth import needs
from patterns.rules.correction import Correction, Grounds, IronWork, Move, Operation
from patterns.rules.head import HABIT

LEAST_GIRTH_MM = 50.0


def width(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Wider (positive) or narrower at the hindarm, so much on each piece, nothing at the cuff."""
    if case.sleeve.girth_mm.elbow + 2 * amount_mm < LEAST_GIRTH_MM:
        raise BadMeasure(
            f"{words.mm(2 * amount_mm)} off a sleeve {words.mm(case.sleeve.girth_mm.elbow)} round "
            "leaves no sleeve: was it each piece, and in mm? Measure it again."
        )
    way = "let out" if amount_mm > 0 else "take in"
    levels = Levels(head=abs(amount_mm), elbow=abs(amount_mm))
    wanted = max(0.0, amount_mm)
    return Correction(
        operation=Operation.WIDTH,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"{way.capitalize()} the sleeve {words.mm(amount_mm)} on each piece at the hindarm, "
        f"{words.mm(2 * amount_mm)} in all, to nothing at the cuff",
        moves=_on_both(
            "hindarm edge", way, levels, acts="each piece", measured_from="old seam line"
        ),
        law=f"{HABIT}; a wider sleeve lifts more (sleeve geometry, section 5)",
        inlays=needs(
            case,
            {InlayPlace.TOP_SLEEVE_HINDARM: wanted, InlayPlace.UNDER_SLEEVE_HINDARM: wanted},
        ),
        moves_too=("The head changes by as much: true it to the armhole and its ease.",),
        predicted=_lift_change(case, 2 * amount_mm),
    )


def _lift_change(case: Case, girth_change_mm: float) -> str:
    girth, height = case.sleeve.girth_mm.biceps, case.sleeve.crown_height_mm
    after = lift_from_crown(max(1.0, girth + girth_change_mm), height)
    change = after - lift_from_crown(girth, height)
    way = "further from" if change > 0 else "closer to"
    return (
        f"The upper sleeve is {words.mm(girth_change_mm)} "
        f"{'wider' if girth_change_mm > 0 else 'narrower'}; with the crown as it is it would hang "
        f"{words.deg(change)} {way} the body."
    )


def length(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Longer (positive) or shorter, at the cuff."""
    longer = amount_mm > 0
    if case.sleeve.length_mm + amount_mm <= case.sleeve.elbow_down_mm:
        raise BadMeasure(
            f"{words.mm(amount_mm)} off a sleeve {words.mm(case.sleeve.length_mm)} long leaves no "
            "forearm: measure it again."
        )
    return Correction(
        operation=Operation.LENGTH,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"Make the sleeve {words.mm(amount_mm)} {'longer' if longer else 'shorter'} at the "
        "cuff",
        moves=_on_both(
            "cuff edge",
            "let down" if longer else "take up",
            Levels(cuff=abs(amount_mm)),
            acts="whole amount, on both pieces alike",
            measured_from="old finished cuff edge",
        ),
        law="as measured; each arm by itself",
        inlays=needs(case, {InlayPlace.CUFF: max(0.0, amount_mm)}),
        moves_too=("Buttons and vent move with the cuff.",),
        predicted=f"The cuff stands {words.mm(amount_mm)} {'lower' if longer else 'higher'}.",
        warnings=(
            f"Measure the {case.side.other.words} arm too: a pair within 3 mm is the habit.",
        ),
    )


def bend(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Lengthen (positive) or shorten the hindarm over the elbow: more or less bend."""
    longer = amount_mm > 0
    section = Section(girth_mm=case.sleeve.girth_mm.elbow, ratio=case.sleeve.section_ratio)
    angle = bend_from_lengths(section, amount_mm)
    if case.sleeve.turning_deg + angle <= 0:
        raise BadMeasure(
            f"Shortening the hindarm by {words.mm(amount_mm)} takes {words.deg(angle)} of bend, "
            f"and the sleeve is cut to {words.deg(case.sleeve.turning_deg)}: read it again."
        )
    return Correction(
        operation=Operation.BEND,
        side=case.side,
        shift_mm=amount_mm,
        angle_deg=angle,
        grounds=grounds,
        title=f"{'Lengthen' if longer else 'Shorten'} the hindarm {words.mm(amount_mm)} over the "
        f"elbow: {words.deg(angle)} {'more' if longer else 'less'} bend",
        moves=_on_both(
            "hindarm edge, over the elbow",
            "lengthen" if longer else "shorten",
            Levels(elbow=abs(amount_mm)),
            acts="whole amount, on both pieces alike",
            measured_from="elbow notch",
        ),
        law="bend = 4 D / (r pi^2) on a round sleeve (sleeve geometry, section 3); amount " + HABIT,
        predicted=f"The cuff hangs {words.deg(angle)} further "
        f"{'forward' if longer else 'back'} below the elbow.",
        do=("Change both pieces alike, or the lower sleeve spirals.",),
        limits=(
            (
                f"What inlay there is over the elbow is not written down: {words.mm(amount_mm)} "
                "are needed, measure before unpicking.",
            )
            if longer
            else ()
        ),
        warnings=(("Short of cloth, ease 6 mm over the elbow instead.",) if not longer else ()),
    )


def forearm(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Stretch the forearm edge and fill its hollow by `amount_mm` (positive)."""
    fill = Levels(elbow=abs(amount_mm))
    return Correction(
        operation=Operation.FOREARM,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"Stretch the forearm {words.mm(amount_mm)} and fill its hollow "
        f"{words.mm(amount_mm)} at the elbow",
        moves=_on_both(
            "forearm edge",
            "let out (fill the hollow)",
            fill,
            acts="each piece",
            measured_from="old seam line",
        ),
        iron=(
            IronWork(
                seam="forearm",
                place="top sleeve, forearm at the elbow",
                how="stretch",
                amount_mm=abs(amount_mm),
            ),
        ),
        law=HABIT,
        inlays=needs(
            case,
            {
                InlayPlace.TOP_SLEEVE_FOREARM: amount_mm,
                InlayPlace.UNDER_SLEEVE_FOREARM: amount_mm,
            },
        ),
        moves_too=("The sleeve becomes as much wider at the elbow.",),
        predicted="The cords along the forearm seam go.",
        do=("Look first whether the lining is short.",),
    )


def _on_both(
    edge: str, direction: str, mm: Levels, *, acts: str, measured_from: str
) -> tuple[Move, ...]:
    """The same line of work on top and under sleeve."""
    return tuple(
        Move(
            piece=piece,
            edge=edge,
            direction=direction,
            mm=mm,
            acts=acts,
            measured_from=measured_from,
        )
        for piece in ("top sleeve", "under sleeve")
    )
