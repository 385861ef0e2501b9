"""The sleeve's head: crown height, round in front, ease, and the hollow of the under sleeve.

Each takes the amount in mm, signed as its docstring says. Sleeve geometry, section 5.
"""

from __future__ import annotations

from patterns.geometry.crown import head_length, lift_from_crown
from patterns.geometry.sleeve import Levels
from patterns.rules import words
from patterns.rules.case import Case, InlayPlace
from patterns.rules.cloth import needs
from patterns.rules.correction import Correction, Grounds, Move, Operation

HABIT = "trade practice, no source"


def _at_head(
    piece: str, edge: str, direction: str, amount_mm: float, acts: str = "whole amount"
) -> tuple[Move, ...]:
    return (
        Move(
            piece=piece,
            edge=edge,
            direction=direction,
            mm=Levels(head=abs(amount_mm)),
            acts=acts,
            measured_from="old seam line",
        ),
    )


def crown(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Raise (positive) or lower the crown, to nothing at the pitches."""
    way = "Raise" if amount_mm > 0 else "Lower"
    needed = needs(case, {InlayPlace.TOP_SLEEVE_HEAD: max(0.0, amount_mm)})
    short = any(need.short_mm > 0 for need in needed)
    return Correction(
        operation=Operation.CROWN,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"{way} the crown {words.mm(amount_mm)}, to nothing at the pitches",
        moves=_at_head("top sleeve", "head, at the crown notch", way.lower(), amount_mm),
        law="a plane-cut tube: H = (B / pi) / tan(lift) for the change of lift and ease "
        f"(sleeve geometry, section 5); the amount is {HABIT}",
        inlays=needed,
        moves_too=(_ease_change(case, amount_mm),),
        predicted=_lift_change(case, amount_mm),
        do=("Keep the length of the armhole and the wanted ease: true the head after it.",),
        do_not=("Do not move the pitch notches.",),
        warnings=(
            (
                "Without the inlay: deepen the underarm hollow of the sleeve by as much and set "
                f"it higher; that costs {words.mm(amount_mm)} of sleeve length.",
            )
            if short
            else ()
        ),
    )


def _ease_change(case: Case, amount_mm: float) -> str:
    girth, height = case.sleeve.girth_mm.biceps, case.sleeve.crown_height_mm
    change = head_length(girth, max(0.0, height + amount_mm)) - head_length(girth, height)
    way = "longer" if change > 0 else "shorter"
    return f"The head becomes about {words.mm(change)} {way}, and the ease with it."


def _lift_change(case: Case, amount_mm: float) -> str:
    girth, height = case.sleeve.girth_mm.biceps, case.sleeve.crown_height_mm
    before = lift_from_crown(girth, height)
    after = lift_from_crown(girth, max(0.0, height + amount_mm))
    way = "closer to the body" if after < before else "further from the body"
    return f"The sleeve hangs {words.deg(after - before)} {way}."


def front_of_head(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """More round (positive) at the front of the head."""
    return Correction(
        operation=Operation.FRONT_OF_HEAD,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"Give {words.mm(amount_mm)} more round at the front of the head",
        moves=_at_head(
            "top sleeve", "head, between crown notch and front pitch", "let out", amount_mm
        ),
        law=f"{HABIT}; the cause: Vincent, ladies' garments",
        inlays=needs(case, {InlayPlace.TOP_SLEEVE_HEAD: amount_mm}),
        moves_too=("The front of the head becomes longer: put the ease in front of the crown.",),
        predicted="The taut creases from the crown toward the front pitch go.",
        do_not=("Do not turn the pitch for it.",),
    )


def ease(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """More (positive) or less ease in the head."""
    more = amount_mm > 0
    return Correction(
        operation=Operation.EASE,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"{'Let out' if more else 'Reduce'} the head: {words.mm(amount_mm)} "
        f"{'more' if more else 'less'} ease",
        moves=_at_head(
            "top sleeve",
            "head, between the pitches",
            "let out" if more else "take in",
            amount_mm,
            "whole amount, measured along the head",
        ),
        law=f"head length less armhole is the ease (sleeve geometry, section 5); amount {HABIT}",
        inlays=needs(case, {InlayPlace.TOP_SLEEVE_HEAD: max(0.0, amount_mm)}),
        moves_too=("The rest of the ease is shared out again between the notches.",),
        predicted="The shoulder end lies without a strap." if more else "The head sets clean.",
        do=("See first that the armhole is stayed and has its own length.",),
    )


def under_head(case: Case, amount_mm: float, grounds: Grounds) -> Correction:
    """Take cloth (positive) from the hollow of the under sleeve's head."""
    return Correction(
        operation=Operation.UNDER_HEAD,
        side=case.side,
        shift_mm=amount_mm,
        grounds=grounds,
        title=f"Hollow the under sleeve's head {words.mm(amount_mm)} deeper",
        moves=_at_head("under sleeve", "head, at the underarm", "take in (deeper)", amount_mm),
        law=HABIT,
        moves_too=("The under sleeve's head becomes a little longer: ease the armhole to it.",),
        predicted="The crescent behind the underarm goes.",
        do_not=("Do not cut more than was marked: a hollow cannot be given back.",),
    )
