"""The armhole itself: raised, lowered, cleared or filled. The sleeve must be changed with it.

A positive amount raises the armhole or fills its front; a negative one lowers or clears it.
"""

from __future__ import annotations

from patterns.geometry.sleeve import Levels
from patterns.rules import words
from patterns.rules.case import Case
from patterns.rules.correction import Correction, Grounds, Move, Operation
from patterns.rules.head import HABIT


def underarm(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Raise (positive) or lower the lowest part of the armhole, to nothing at the pitches."""
    raised = amount_mm > 0
    return _armhole(
        case,
        amount_mm,
        grounds,
        place="underarm",
        edge="armhole, lowest part",
        direction="raise" if raised else "lower",
        predicted="The coat stays when the arm is lifted."
        if raised
        else "The armhole no longer cuts under the arm.",
        do=("Recut the underarm of the sleeve to it.",)
        if raised
        else (
            "Trim the seam to 6 mm first and look again.",
            "Recut the underarm of the sleeve.",
        ),
        do_not=() if raised else ("Do not lower it twice: it cannot be given back.",),
    )


def front(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Fill (positive) or clear the front of the armhole."""
    filled = amount_mm > 0
    return _armhole(
        case,
        amount_mm,
        grounds,
        place="front",
        edge="armhole, front between pitch and underarm",
        direction="fill from the inlay" if filled else "clear (cut away)",
        predicted="The hollow in front of the armhole goes."
        if filled
        else "The arm comes forward freely.",
        do=("Read the pitch again afterwards.",)
        if filled
        else ("Give the back the same width (Hertzer, 1892).",),
        do_not=() if filled else ("Do not cut before the chest is settled.",),
    )


def _armhole(
    case: Case,
    amount_mm: float,
    grounds: Grounds,
    *,
    place: str,
    edge: str,
    direction: str,
    predicted: str,
    do: tuple[str, ...],
    do_not: tuple[str, ...],
) -> Correction:
    return Correction(
        operation=Operation.ARMHOLE,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"Armhole, {place}: {direction} {words.mm(amount_mm)}",
        moves=(
            Move(
                piece="forepart and back" if place == "underarm" else "forepart",
                edge=edge,
                direction=direction,
                mm=Levels(head=abs(amount_mm)),
                acts="whole amount, to nothing at the pitches",
                measured_from="old seam line",
            ),
        ),
        law=HABIT,
        moves_too=("The armhole's girth changes, and with it the head's ease and the pitch.",),
        predicted=predicted,
        do=do,
        do_not=do_not,
        warnings=("The armhole and the sleeve are altered together, or neither.",),
        limits=(
            (
                "What inlay there is at the armhole is not written down: "
                f"{words.mm(amount_mm)} are needed, measure before unpicking.",
            )
            if amount_mm > 0
            else ()
        ),
        particulars={"armhole_place": place},
    )
