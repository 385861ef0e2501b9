"""Moving the seams round the tube: with the elbow turned by it, or the seam alone.

hindarm > 0: up and out, into the upper back quarter; forearm > 0: down and in, into the lower
front quarter. The same widths leave one piece and join the other. Sleeve geometry, section 3.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Final

from patterns.geometry.armhole import Quarter
from patterns.geometry.roots import last_where
from patterns.geometry.section import (
    Section,
    elbow_turn,
    shifts_for_turn,
    width_changes,
)
from patterns.geometry.sleeve import LEVELS, IronedShare, Levels
from patterns.geometry.visibility import shows_from_side
from patterns.rules import seam_work as work
from patterns.rules import words
from patterns.rules.case import Case
from patterns.rules.correction import (
    Correction,
    Grounds,
    Meaning,
    Operation,
)

TURN_LAW: Final = (
    "e = (a + b) / 2 on a round sleeve, the least-squares plane on any other; both pieces "
    "re-drafted with equal sewn edges (sleeve geometry, section 3)"
)
SEAM_LAW: Final = (
    "a strip of width x folded over the curved line leaves edges that differ by 2 x tau; ironed "
    "away, the elbow does not turn (sleeve geometry, section 3)"
)


def turn_elbow(
    case: Case, turn_deg: float, grounds: Grounds, *, hindarm_part: float = 0.5
) -> Correction:
    """Re-draft both pieces so that the elbow points `turn_deg` further out (positive).

    hindarm_part: the hindarm's part of the whole move, 0 to 1; the shift is the mean of both.
    Refuses (GeometryRefused) a turn that would carry a seam past its quarter of the sleeve.
    """
    hindarm, forearm = _shifts(case, turn_deg, hindarm_part)
    shift, way = (hindarm.elbow + forearm.elbow) / 2.0, "out" if turn_deg > 0 else "in"
    correction = _seam_shift(case, hindarm, forearm, grounds, Meaning.ELBOW_TURN)
    return replace(
        correction,
        shift_mm=shift,
        angle_deg=turn_deg,
        title=f"Turn the elbow {words.deg(turn_deg)} further {way}: hindarm seam "
        f"{work.by(hindarm.elbow, work.hindarm_way(shift))}, forearm seam "
        f"{work.by(forearm.elbow, work.forearm_way(shift))}, at the elbow",
        law=TURN_LAW,
        predicted=f"The sleeve's elbow points {words.deg(turn_deg)} further {way}. "
        + _hindarm_will_show(case, hindarm.elbow),
        do=(
            "Re-draft both pieces so that the sewn edges are equal and the turning lies on the "
            "new seams.",
        ),
        do_not=(
            "Do not only cut a strip off one piece and sew it to the other: that moves the "
            "seam and leaves the elbow.",
        ),
    )


def _shifts(case: Case, turn_deg: float, hindarm_part: float) -> tuple[Levels, Levels]:
    """Moves at each level from where the elbow points now, ironed as it is, to a re-draft.

    A re-draft puts all the turning on the new seams, so nothing stays on the old folds.
    """
    sleeve, ironed = case.sleeve, case.sleeve.ironed_share
    moves = {}
    for level in LEVELS:
        section = Section(girth_mm=sleeve.girth_mm.at(level), ratio=sleeve.section_ratio)
        seams = getattr(sleeve.hindarm_shift_mm, level), getattr(sleeve.forearm_shift_mm, level)
        now = elbow_turn(
            section, *seams, ironed_hindarm=ironed.hindarm, ironed_forearm=ironed.forearm
        )
        moves[level] = shifts_for_turn(
            section,
            turn_deg + now - elbow_turn(section, *seams),
            hindarm_out_mm=seams[0],
            forearm_in_mm=seams[1],
            share=hindarm_part,
        )
    hindarm = Levels(**{level: move[0] for level, move in moves.items()})
    forearm = Levels(**{level: move[1] for level, move in moves.items()})
    return hindarm, forearm


def move_hindarm_only(case: Case, shift_mm: float, grounds: Grounds) -> Correction:
    """Move the hindarm seam alone by `shift_mm` at the elbow; positive: up and out."""
    girths = case.sleeve.girth_mm
    hindarm = Levels(**{level: shift_mm * girths.at(level) / girths.elbow for level in LEVELS})
    correction = _seam_shift(case, hindarm, Levels(), grounds, Meaning.SEAM_ONLY)
    return replace(
        correction,
        shift_mm=shift_mm,
        title=f"Move the hindarm seam alone {words.mm(shift_mm)} {work.hindarm_way(shift_mm)} at "
        "the elbow, elbow unturned",
        law=SEAM_LAW,
        predicted=_hindarm_will_show(case, shift_mm) + " The elbow stays where it points.",
        do=work.iron_words(correction),
        do_not=("Do not re-draft the turning onto the new seam: that would turn the elbow.",),
    )


def move_forearm_only(case: Case, shift_mm: float, grounds: Grounds) -> Correction:
    """Move the forearm seam alone, alike at all levels; positive: down and in."""
    forearm = Levels.alike(shift_mm)
    correction = _seam_shift(case, Levels(), forearm, grounds, Meaning.SEAM_ONLY)
    return replace(
        correction,
        shift_mm=shift_mm,
        title=f"Move the forearm seam alone {words.mm(shift_mm)} {work.forearm_way(shift_mm)}: the "
        f"top sleeve {'wider' if shift_mm > 0 else 'narrower'} at the forearm, elbow unturned",
        law=SEAM_LAW,
        predicted="The forearm seam lies further "
        f"{'under' if shift_mm > 0 else 'forward on'} the sleeve; the elbow stays where it points.",
        do=work.iron_words(correction),
        do_not=("Do not re-draft the turning onto the new seam: that would turn the elbow.",),
    )


def _seam_shift(
    case: Case, hindarm: Levels, forearm: Levels, grounds: Grounds, meaning: Meaning
) -> Correction:
    """What both meanings share: moves, widths, iron, inlay, and how far the quarters allow."""
    widths = {
        level: width_changes(getattr(hindarm, level), getattr(forearm, level)) for level in LEVELS
    }
    iron = work.iron(case, hindarm.elbow, forearm.elbow) if meaning is Meaning.SEAM_ONLY else ()
    share, limits = _quarter_share(case, hindarm.head, forearm.head)
    return Correction(
        operation=Operation.SEAM_SHIFT,
        side=case.side,
        shift_mm=hindarm.elbow,
        grounds=grounds,
        title="",
        law="",
        meaning=meaning,
        hindarm_mm=hindarm,
        forearm_mm=forearm,
        moves=work.moves(hindarm, forearm),
        iron=iron,
        inlays=work.inlays(case, hindarm, forearm),
        share=share,
        limits=limits,
        moves_too=work.on_armhole(hindarm.head, forearm.head),
        particulars={
            "top_width_change_mm": {level: top for level, (top, _) in widths.items()},
            "under_width_change_mm": {level: under for level, (_, under) in widths.items()},
            **_ironed_anew(case, meaning),
            "iron_mm": {
                "hindarm": work.ironed(iron, "hindarm"),
                "forearm": work.ironed(iron, "forearm"),
            },
        },
    )


def _ironed_anew(case: Case, meaning: Meaning) -> dict[str, object]:
    """A re-draft leaves nothing on the old folds: what was left there, so that it can be undone."""
    ironed = case.sleeve.ironed_share
    if meaning is not Meaning.ELBOW_TURN or ironed == IronedShare():
        return {}
    return {"ironed_share": {"before": asdict(ironed), "after": asdict(IronedShare())}}


def _hindarm_will_show(case: Case, shift_mm: float) -> str:
    section = Section(girth_mm=case.sleeve.girth_mm.elbow, ratio=case.sleeve.section_ratio)
    now = case.sleeve.hindarm_shift_mm.elbow
    before, after = (shows_from_side(section, x) for x in (now, now + shift_mm))
    return (
        f"From the side the hindarm seam {_shown(after)} at the elbow (by the pattern it "
        f"{_shown(before)} now)."
    )


def _shown(mm: float) -> str:
    if abs(mm) < 0.05:
        return "lies on the edge"
    return f"shows by {words.mm(mm)}" if mm > 0 else f"is hidden by {words.mm(mm)}"


def _quarter_share(
    case: Case, hindarm_mm: float, forearm_mm: float
) -> tuple[float, tuple[str, ...]]:
    """The part of the moves that keeps both seams in their quarters, and the sentence for it."""

    def stays(share: float) -> bool:
        seat = case.seat(0.0, hindarm_mm * share, forearm_mm * share)
        back_kept = seat.back_quarter is Quarter.UPPER_BACK or not _was_back(case)
        front_kept = seat.front_quarter is Quarter.LOWER_FRONT or not _was_front(case)
        return back_kept and front_kept

    if stays(1.0):
        return 1.0, ()
    share = last_where(stays, 0.0, 1.0)
    return share, (
        f"Only {share:.0%} of it keeps the hindarm seam in the upper back quarter and the forearm "
        "seam in the lower front quarter of the armhole; for more, re-draft the sleeve.",
    )


def _was_back(case: Case) -> bool:
    return case.seat().back_quarter is Quarter.UPPER_BACK


def _was_front(case: Case) -> bool:
    return case.seat().front_quarter is Quarter.LOWER_FRONT
