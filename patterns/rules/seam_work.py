"""The work of moving a seam round the tube: lines at both pieces, iron, inlay, and how it is said.

hindarm > 0: up and out; forearm > 0: down and in. Sleeve geometry, section 3.
"""

from __future__ import annotations

from patterns.geometry.section import iron_for_seam_only
from patterns.geometry.sleeve import Levels
from patterns.rules import words
from patterns.rules.case import Case, InlayPlace
from patterns.rules.cloth import needs
from patterns.rules.correction import Correction, InlayNeed, IronWork, Move


def by(shift_mm: float, way: str) -> str:
    return "as it is" if abs(shift_mm) < 0.05 else f"{words.mm(shift_mm)} {way}"


def hindarm_way(shift_mm: float) -> str:
    return "up and out" if shift_mm > 0 else "down and in"


def forearm_way(shift_mm: float) -> str:
    return "down and in" if shift_mm > 0 else "up and out"


def moves(hindarm: Levels, forearm: Levels) -> tuple[Move, ...]:
    """Each seam is two edges: what one piece gives, the other takes."""
    found: list[Move] = []
    for seam, shifts, way in (
        ("hindarm", hindarm, hindarm_way(hindarm.largest())),
        ("forearm", forearm, forearm_way(forearm.largest())),
    ):
        if abs(shifts.largest()) < 1e-9:
            continue
        top_gains = (shifts.largest() > 0) == (seam == "forearm")
        for piece, gains in (("top sleeve", top_gains), ("under sleeve", not top_gains)):
            found.append(
                Move(
                    piece=piece,
                    edge=f"{seam} edge",
                    direction=f"{'let out' if gains else 'take in'}: the seam moves {way}",
                    mm=_sizes(shifts),
                    acts="this edge only; the other piece has its own line",
                    measured_from="old seam line",
                )
            )
    return tuple(found)


def _sizes(shifts: Levels) -> Levels:
    return Levels(head=abs(shifts.head), elbow=abs(shifts.elbow), cuff=abs(shifts.cuff))


def inlays(case: Case, hindarm: Levels, forearm: Levels) -> tuple[InlayNeed, ...]:
    h, f = hindarm.largest(), forearm.largest()
    return needs(
        case,
        {
            InlayPlace.UNDER_SLEEVE_HINDARM: max(0.0, h),
            InlayPlace.TOP_SLEEVE_HINDARM: max(0.0, -h),
            InlayPlace.TOP_SLEEVE_FOREARM: max(0.0, f),
            InlayPlace.UNDER_SLEEVE_FOREARM: max(0.0, -f),
        },
    )


def iron(case: Case, hindarm_mm: float, forearm_mm: float) -> tuple[IronWork, ...]:
    """The edges of a seam moved alone differ by 2 x tau: the iron takes it up at the elbow.

    Seam moved out past the fold: the top sleeve's edge is the short one, the under sleeve's the
    long one. Moved the other way, the other way round.
    """
    turning = case.sleeve.turning_deg
    work: list[IronWork] = []
    if abs(forearm_mm) > 1e-9:
        piece, how = ("top sleeve", "stretch") if forearm_mm > 0 else ("under sleeve", "stretch")
        amount = abs(iron_for_seam_only(forearm_mm, turning))
        work.append(
            IronWork(
                seam="forearm", place=f"{piece}, forearm at the elbow", how=how, amount_mm=amount
            )
        )
    if abs(hindarm_mm) > 1e-9:
        piece = "under sleeve" if hindarm_mm > 0 else "top sleeve"
        amount = abs(iron_for_seam_only(hindarm_mm, turning))
        work.append(
            IronWork(
                seam="hindarm",
                place=f"{piece}, hindarm at the elbow",
                how="shrink or ease",
                amount_mm=amount,
            )
        )
    return tuple(work)


def ironed(iron: tuple[IronWork, ...], seam: str) -> float:
    return sum((work.amount_mm for work in iron if work.seam == seam), 0.0)


def iron_words(correction: Correction) -> tuple[str, ...]:
    return tuple(
        f"{work.how.capitalize()} the {work.place} by {words.mm(work.amount_mm)}, through the "
        "whole strip."
        for work in correction.iron
    )


def on_armhole(hindarm_mm: float, forearm_mm: float) -> tuple[str, ...]:
    said: list[str] = []
    if abs(hindarm_mm) > 1e-9:
        said.append(
            f"At the armhole the hindarm seam goes {words.up_down(hindarm_mm)} the back by "
            f"{words.mm(hindarm_mm)}."
        )
    if abs(forearm_mm) > 1e-9:
        said.append(
            f"At the armhole the forearm seam goes {words.up_down(-forearm_mm)} the front by "
            f"{words.mm(forearm_mm)}."
        )
    return tuple(said)
