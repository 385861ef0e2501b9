"""The numbers of a sleeve measured from its two pieces, as our draft understands them."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import acos, atan2, cos, degrees, hypot
from typing import Final

import numpy as np

from patterns.bringing.brought import NotBroughtIn
from patterns.bringing.heads import Heads
from patterns.bringing.laying import Laid
from patterns.bringing.units import likely_unit
from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole
from patterns.geometry.following import Marked
from patterns.geometry.roots import last_where
from patterns.geometry.sleeve import (
    ELBOW_FRACTION,
    FOREARM_HOLLOW_MM,
    FORWARD_BEND_MM,
    Girths,
    Levels,
    Sleeve,
)
from patterns.rules.outline import SEAMS

LENGTH_MM: Final = (300.0, 900.0)
_ELBOW = "elbow line"
_BICEPS = "biceps line"
_LEAST_MARK: Final = 0.002  # of a seam: where a biceps line above its top is counted
_TOLD_MM: Final = 3.0
_TOLD_DEG: Final = 3.0
_STRAIGHT_DEG: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """Top and under laid on each other as in the folded sleeve, the crown at 0, 0, with where
    biceps line and elbow line meet each seam, as shares (head, elbow) of the seam."""

    top: Laid
    under: Laid
    heads: Heads
    marks: dict[tuple[str, str], tuple[float, float]]
    remarks: list[str] = field(default_factory=list)

    def at(self, piece: Laid, seam: str, level: int) -> FloatArray:
        share = (*self.marks[piece.name, seam], 1.0)[level]
        return Marked.at(piece.edges[seam]).points(np.array(share))

    def width_mm(self, piece: Laid, level: int) -> float:
        across = self.at(piece, "forearm", level) - self.at(piece, "hindarm", level)
        return float(np.hypot(*across))


def laid_together(top: Laid, under: Laid) -> Pieces:
    """Both pieces in the frame of the draft. Refuses NotBroughtIn a sleeve of no such length."""
    remarks = [*top.remarks, *under.remarks]
    apex = Heads.of(top, under).apex
    top = top.moved(-float(apex[0]), -float(apex[1]))
    _check_length(top)
    under = _beside(top, under, remarks)
    remarks += _without_lines(top, under)
    levels = {
        piece.name: {name: _line(piece, name, under, top) for name in (_BICEPS, _ELBOW)}
        for piece in (top, under)
    }
    marks = {
        (piece.name, seam): _marks(piece, seam, levels[piece.name])
        for piece in (top, under)
        for seam in SEAMS
    }
    heads = Heads.of(top, under)
    if heads.folds:  # the under sleeve is folded under at the fold, not at the seam
        under = under.moved(-2 * heads.folds[1], 0.0)
        heads = Heads.of(top, under)
    return Pieces(top=top, under=under, heads=heads, marks=marks, remarks=remarks)


def _check_length(top: Laid) -> None:
    length_mm = float(top.edges["cuff"].polyline()[:, 1].mean())
    low, high = LENGTH_MM
    if not low <= length_mm <= high:
        raise NotBroughtIn(
            f"The sleeve would be {length_mm:.4g} mm long, which no coat's is. "
            + likely_unit(length_mm, LENGTH_MM)
        )


def _beside(top: Laid, under: Laid, remarks: list[str]) -> Laid:
    """The under sleeve moved until the seams that are sewn together begin at one height."""
    starts = {seam: [one.edges[seam].start_mm for one in (top, under)] for seam in SEAMS}
    down = {seam: float(of[0][1] - of[1][1]) for seam, of in starts.items()}
    if _BICEPS in top.levels and _BICEPS in under.levels:
        by = float(top.levels[_BICEPS][:, 1].mean() - under.levels[_BICEPS][:, 1].mean())
    else:
        by = (down["hindarm"] + down["forearm"]) / 2
    if abs(down["hindarm"] - down["forearm"]) > _TOLD_MM:
        remarks.append(
            "The heads of top and under sleeve do not begin at one height at both seams: they "
            f"differ by {abs(down['hindarm'] - down['forearm']):.0f} mm."
        )
    first, last = starts["forearm"]
    return under.moved(float(first[0] - last[0]), by)


def _without_lines(top: Laid, under: Laid) -> list[str]:
    told = []
    if _BICEPS not in top.levels and _BICEPS not in under.levels:
        told.append(
            "No biceps line is drawn: it was put through the lowest place of the under sleeve's "
            "head."
        )
    if _ELBOW not in top.levels and _ELBOW not in under.levels:
        told.append(f"No elbow line is drawn: it was put at {ELBOW_FRACTION:.0%} of the length.")
    return told


def _line(piece: Laid, name: str, under: Laid, top: Laid) -> FloatArray:
    """A level line of a piece: its own, the other piece's, or where it usually lies."""
    for one in (piece, under, top):
        if name in one.levels:
            return one.levels[name]
    head = under.edges["head"].polyline(200)
    cuff = top.edges["cuff"].polyline()[:, 1].mean()
    y = head[:, 1].max() if name == _BICEPS else ELBOW_FRACTION * cuff
    return np.array([[-1.0, y], [1.0, y]])


def _marks(piece: Laid, seam: str, levels: dict[str, FloatArray]) -> tuple[float, float]:
    edge = Marked.at(piece.edges[seam])
    head, elbow = (_crossed(edge, levels[name]) for name in (_BICEPS, _ELBOW))
    if elbow is None or elbow >= 1.0:
        raise NotBroughtIn(
            f"The elbow line does not cross the {seam} of the {piece.name}; draw it across."
        )
    head = max(head or 0.0, _LEAST_MARK)
    if elbow <= head + 0.01:
        raise NotBroughtIn(
            f"The elbow line of the {piece.name} does not lie below its biceps line; look at them."
        )
    return head, elbow


def _crossed(edge: Marked, ends: FloatArray) -> float | None:
    """The share of an edge at which a straight line through two points (2, 2) crosses it."""
    way = ends[1] - ends[0]

    def over(shares: FloatArray) -> FloatArray:
        apart = edge.points(shares) - ends[0]
        return np.asarray(way[0] * apart[:, 1] - way[1] * apart[:, 0])

    shares = np.linspace(0.0, 1.0, 801)
    side = over(shares)
    at = np.flatnonzero((side[:-1] < 0.0) & (side[1:] >= 0.0))
    if not len(at):
        return None
    before, after = float(shares[at[0]]), float(shares[at[0] + 1])
    return last_where(lambda share: bool(over(np.array([share]))[0] < 0.0), before, after)


def measured(pieces: Pieces, armhole: Armhole) -> Sleeve:
    """The sleeve's numbers; what cannot be told is counted as nothing and said in the remarks."""
    girths = [
        sum(pieces.width_mm(one, level) for one in (pieces.top, pieces.under)) for level in range(3)
    ]
    crown_mm = float(np.mean([pieces.at(pieces.top, seam, 0)[1] for seam in SEAMS]))
    elbow_mm = float(
        np.mean(
            [pieces.at(one, seam, 1)[1] for one in (pieces.top, pieces.under) for seam in SEAMS]
        )
    )
    cuff = [
        np.mean([pieces.at(one, seam, 2) for one in (pieces.top, pieces.under)], axis=0)
        for seam in SEAMS
    ]
    turn = atan2(-(cuff[1][1] - cuff[0][1]), cuff[1][0] - cuff[0][0])
    lower_mm = float((cuff[0][1] + cuff[1][1]) / 2 - elbow_mm) / cos(turn)
    shift_mm = pieces.heads.shift_mm
    off_mm = pieces.heads.crown_off_mm
    if not shift_mm and abs(off_mm) > _TOLD_MM:
        pieces.remarks.append(
            f"The crown notch stands {abs(off_mm):.0f} mm "
            f"{'in front of' if off_mm > 0 else 'behind'} the highest place of the head. This is "
            "kept as its place; the sleeve is not counted as turned."
        )
    hindarm, forearm = _shifts(pieces)
    return Sleeve(
        girth_mm=Girths(biceps=girths[0], elbow=girths[1], cuff=girths[2]),
        crown_height_mm=crown_mm,
        length_mm=elbow_mm + lower_mm,
        elbow_mm=elbow_mm,
        bend_deg=degrees(turn),
        hindarm_shift_mm=hindarm,
        forearm_shift_mm=forearm,
        notch_shift_mm=shift_mm,
        drafted_hang_deg=_hang_deg(pieces, armhole),
        forearm_hollow_mm=_hollow_mm(pieces, degrees(turn), lower_mm),
    )


def _shifts(pieces: Pieces) -> tuple[Levels, Levels]:
    """How far hindarm and forearm seam lie from the folds, which the pitch notches tell."""
    halves = [
        (pieces.width_mm(pieces.top, level) - pieces.width_mm(pieces.under, level)) / 2
        for level in range(3)
    ]
    folds = pieces.heads.folds
    if folds is None:
        wider = max(halves, key=abs)
        if abs(wider) > _TOLD_MM:
            pieces.remarks.append(
                f"The top sleeve is up to {abs(2 * wider):.0f} mm "
                f"{'wider' if wider > 0 else 'narrower'} than the under sleeve. Without both pitch "
                "notches on the head it cannot be told which seam lies how far from its fold, so "
                "both are counted as lying at the folds."
            )
        return Levels(), Levels()
    out, into = folds
    both = out + into
    if abs(into - out - halves[0]) > _TOLD_MM:
        pieces.remarks.append(
            "The pitch notches and the widths of the two pieces do not tell the same place for "
            "the seams; the widths were followed."
        )
    if abs(both) > _TOLD_MM:
        pieces.remarks.append(
            "How far both seams together lie from the folds was read at the head and counted the "
            "same at elbow and cuff."
        )
    names = ("head", "elbow", "cuff")
    hindarm = {name: (both - half) / 2 for name, half in zip(names, halves, strict=True)}
    forearm = {name: (both + half) / 2 for name, half in zip(names, halves, strict=True)}
    return Levels(**hindarm), Levels(**forearm)


def _hang_deg(pieces: Pieces, armhole: Armhole) -> float:
    """How far forward of plumb the head is cut to hang: H(t) = h cos t + w sin t solved for t.

    Sleeve geometry, section 2.
    """
    front, back = pieces.heads.pitches
    stands_mm = float(front[1] - back[1])
    wide, high = armhole.pitch_width_mm, armhole.pitch_height_mm
    reach = hypot(wide, high)
    if abs(stands_mm) >= reach:
        pieces.remarks.append(
            f"The hindarm stands {stands_mm:.0f} mm over the forearm, more than this armhole's "
            "pitches lie apart; how far forward the sleeve is cut to hang was counted as 0."
        )
        return 0.0
    hang_deg = degrees(atan2(wide, high) - acos(stands_mm / reach))
    if abs(hang_deg) > _TOLD_DEG:
        pieces.remarks.append(
            f"On the head the hindarm stands {stands_mm:.0f} mm over the forearm, {high:.0f} mm on "
            f"the armhole: counted as cut to hang {abs(hang_deg):.0f} degrees "
            f"{'forward of' if hang_deg > 0 else 'behind'} plumb."
        )
    return hang_deg


def _hollow_mm(pieces: Pieces, bend_deg: float, lower_mm: float) -> float:
    """Depth of the forearm behind the straight line from biceps to cuff, for the usual bend."""
    head, elbow, cuff = (
        np.mean([pieces.at(one, "forearm", level) for one in (pieces.top, pieces.under)], axis=0)
        for level in range(3)
    )
    straight_x = head[0] + (cuff[0] - head[0]) * (elbow[1] - head[1]) / (cuff[1] - head[1])
    if abs(bend_deg) < _STRAIGHT_DEG:
        return FOREARM_HOLLOW_MM
    return float(straight_x - elbow[0]) * degrees(atan2(FORWARD_BEND_MM, lower_mm)) / bend_deg
