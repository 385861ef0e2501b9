"""Turning a sleeve in its armhole, or recutting it where turning is past reason.

One act said in several ways that check each other: cuff forward means forearm seam up the front,
hindarm seam down the back, top of the sleeve back. Sleeve geometry, section 2.
"""

from __future__ import annotations

from typing import Final

from patterns.geometry import pitch as law
from patterns.geometry.armhole import Quarter
from patterns.geometry.sleeve import Levels
from patterns.rules import words
from patterns.rules.case import Case, InlayPlace
from patterns.rules.cloth import needs
from patterns.rules.correction import Correction, Grounds, Move, Operation

RECUT_PAST_MM: Final = 20.0
LAW: Final = "theta = 360 s / G: turning the sleeve along the armhole by s swings its whole axis"


def leaves_quarter(case: Case, shift_mm: float) -> str:
    """The sentence when a turn takes a seam out of its quarter of the armhole; else ''."""
    before, after = case.seat(), case.seat(shift_mm)
    if before.back_quarter is Quarter.UPPER_BACK and after.back_quarter is not Quarter.UPPER_BACK:
        return f"it would take the hindarm seam into the {after.back_quarter.value} quarter"
    lower_front = Quarter.LOWER_FRONT
    if before.front_quarter is lower_front and after.front_quarter is not lower_front:
        return f"it would take the forearm seam into the {after.front_quarter.value} quarter"
    return ""


def turn(case: Case, shift_mm: float, grounds: Grounds) -> Correction:
    """Turn the sleeve by `shift_mm` along the armhole, or recut it where that is past turning."""
    why = leaves_quarter(case, shift_mm)
    total = case.sleeve.notch_shift_mm + shift_mm
    if abs(total) > RECUT_PAST_MM and abs(total) > abs(case.sleeve.notch_shift_mm):
        before = case.sleeve.notch_shift_mm
        so_far = f" with the {words.mm(before)} turned before" if before else ""
        why = f"it is past {words.mm(RECUT_PAST_MM)}{so_far}"
    return recut(case, shift_mm, grounds, why) if why else turned(case, shift_mm, grounds)


def five_ways(shift_mm: float) -> dict[str, object]:
    """The same act in the words that check each other on a ticket. s > 0: cuff forward."""
    ahead = shift_mm > 0
    return {
        "cuff": "forward" if ahead else "back",
        "forearm_seam": "up" if ahead else "down",
        "hindarm_seam": "down" if ahead else "up",
        "top_of_sleeve": "back" if ahead else "forward",
        "crown_notch_on_sleeve": "forward" if ahead else "back",
    }


def turned(case: Case, shift_mm: float, grounds: Grounds) -> Correction:
    """Turn the sleeve by `shift_mm`, whatever quarter the seams come to stand in."""
    angle = law.angle_from_shift(shift_mm, case.armhole.girth_mm)
    share = law.least_strain_share(case.armhole.height_mm / case.armhole.width_mm)
    ways = five_ways(shift_mm)
    at_head = Levels(head=abs(shift_mm))
    moves = (
        _move(
            "armhole", "forearm seam", f"{ways['forearm_seam']} the front of the armhole", at_head
        ),
        _move(
            "armhole", "hindarm seam", f"{ways['hindarm_seam']} the back of the armhole", at_head
        ),
        _move(
            "top sleeve",
            "crown notch",
            f"new notch {'in front of' if shift_mm > 0 else 'behind'} the old one, on the sleeve",
            at_head,
        ),
    )
    return Correction(
        operation=Operation.PITCH,
        side=case.side,
        shift_mm=shift_mm,
        angle_deg=angle,
        grounds=grounds,
        title=f"Turn the sleeve in the armhole: cuff {ways['cuff']}, {words.mm(shift_mm)} "
        f"({words.deg(angle)})",
        moves=moves,
        law=f"{LAW}; G = {words.mm(case.armhole.girth_mm)} (sleeve geometry, section 2). On an "
        f"armhole of this shape the least strained turn was {words.mm(shift_mm * share)}.",
        moves_too=(
            "Both seams move along the armhole with it: look where the hindarm shows.",
            "The ease of the head moves with the notches.",
        ),
        predicted=_hang(case, shift_mm, grounds.sigma_mm),
        do=("Move the notches by measuring along the armhole seam, not across it.",),
        do_not=(
            "Do not turn the head the same way as the cuff: the top of the sleeve goes "
            f"{ways['top_of_sleeve']}.",
        ),
        warnings=(_other_side(case),),
        particulars={
            **ways,
            "least_strain_shift_mm": shift_mm * share,
        },
    )


def _move(piece: str, edge: str, direction: str, mm: Levels) -> Move:
    return Move(
        piece=piece,
        edge=edge,
        direction=direction,
        mm=mm,
        acts="whole amount, along the seam line",
        measured_from="old notch",
    )


def _hang(case: Case, shift_mm: float, sigma_mm: float) -> str:
    girth = case.armhole.girth_mm
    turned, noise = law.angle_from_shift(shift_mm, girth), law.angle_from_shift(sigma_mm, girth)
    return (
        f"The sleeve hangs {words.deg(turned)} further {words.cuff(shift_mm)}, in line with the "
        f"arm, give or take {words.deg(noise)}."
    )


def _other_side(case: Case) -> str:
    return (
        f"A notch changed on the {case.side.words} is asked about on the "
        f"{case.side.other.words}: read that sleeve too."
    )


def _over(height_mm: float) -> str:
    return f"{words.mm(height_mm)} {'over' if height_mm >= 0 else 'under'}"


def recut(case: Case, shift_mm: float, grounds: Grounds, why: str) -> Correction:
    """Leave the armhole's marks and recut the head: the hindarm stands over the forearm by H(t)."""
    armhole, now = case.armhole, case.sleeve.drafted_hang_deg
    angle = law.angle_from_shift(shift_mm, armhole.girth_mm)
    height, width = armhole.pitch_height_mm, armhole.pitch_width_mm
    before = law.hindarm_over_forearm(now, height, width)
    after = law.hindarm_over_forearm(now + angle, height, width)
    change = after - before
    return Correction(
        operation=Operation.RECUT,
        side=case.side,
        shift_mm=shift_mm,
        angle_deg=angle,
        grounds=grounds,
        title=f"Recut the sleeve to hang {words.deg(angle)} further {words.cuff(shift_mm)}: "
        f"hindarm {_over(after)} the forearm, was {_over(before)}",
        moves=(
            Move(
                piece="top and under sleeve",
                edge="hindarm top",
                direction=f"{words.up_down(change)} against the forearm top",
                mm=Levels(head=abs(change)),
                acts="whole amount, on both pieces alike",
                measured_from="level of the forearm top",
            ),
        ),
        law=f"H(t) = h cos t + w sin t; h = {words.mm(height)}, w = {words.mm(width)} "
        "(sleeve geometry, section 2; Vincent, The Cutter's Practical Guide, Part 1, p. 33)",
        inlays=needs(
            case,
            {
                InlayPlace.TOP_SLEEVE_HEAD: max(0.0, change),
                InlayPlace.UNDER_SLEEVE_HEAD: max(0.0, change),
            },
        ),
        moves_too=("The notches on the armhole stay; those on the sleeve's head are struck anew.",),
        predicted=_hang(case, shift_mm, grounds.sigma_mm),
        do_not=("Do not turn the notches as well: the recut does the whole of it.",),
        warnings=(f"Recut instead of turning, because {why}.", _other_side(case)),
        particulars={
            "cuff": words.cuff(shift_mm),
            "instead_of": "pitch",
            "why": why,
            "hindarm_over_forearm_mm": {"before": before, "after": after, "change": change},
        },
    )
