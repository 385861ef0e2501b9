"""Where a new draft of a piece stands off the old one, in mm of cloth."""

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path
from patterns.geometry.piece import TOP, Piece
from patterns.geometry.sleeve import LEVELS

LEAST_MM = 0.5  # a line moved less than this is not spoken of
SEAMS = ("hindarm", "forearm")
_OFF_CROWN = 0.3  # of the way to the seam, where the head is called front or back


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A line moved at a named place: above zero cloth is added, below zero it is taken away."""

    name: str
    added_mm: float
    at_mm: FloatArray

    @property
    def speaks(self) -> bool:
        return abs(self.added_mm) >= LEAST_MM


def seam_changes(before: Piece, after: Piece, seam: str) -> tuple[Change, ...]:
    """How far a seam moved out at head, elbow and cuff, measured across the new piece."""
    other = SEAMS[1 - SEAMS.index(seam)]
    found = []
    for level in LEVELS:
        old, new = (piece.points_mm[f"{seam} {level}"] for piece in (before, after))
        out = new - after.points_mm[f"{other} {level}"]
        added = float((new - old) @ out / np.hypot(*out))
        found.append(Change(name=level, added_mm=added, at_mm=new))
    return tuple(found)


def cuff_change(before: Piece, after: Piece) -> Change:
    """How far the cuff's edge moved down, at its middle and square to the new cuff."""
    old, new = (_middle(piece.cuff)[0] for piece in (before, after))
    along = _middle(after.cuff)[1]
    added = float((new - old) @ np.array([-along[1], along[0]]))
    return Change(name="cuff edge", added_mm=added, at_mm=new)


def _middle(edge: Path) -> tuple[FloatArray, FloatArray]:
    """The place half way along an edge and the direction there."""
    place = edge.place_at(edge.length_mm / 2)
    return edge.point(place), edge.tangent(place)


def head_changes(before: Piece, after: Piece) -> tuple[Change, ...]:
    """How far the head moved: the top's crown, and where front and back moved most; the under's
    lowest place."""
    if after.name != TOP:
        old, new = (_lowest(piece) for piece in (before, after))
        return (Change(name="under arm", added_mm=float(old[1] - new[1]), at_mm=new),)
    old, new = (piece.points_mm["crown"] for piece in (before, after))
    crown = Change(name="crown", added_mm=float(old[1] - new[1]), at_mm=new)
    behind, in_front = (
        after.points_mm[f"{seam} top"] * _OFF_CROWN + new * (1 - _OFF_CROWN) for seam in SEAMS
    )
    back = _most(before, after, "back of head", (-np.inf, float(behind[0])))
    return crown, back, _most(before, after, "front of head", (float(in_front[0]), np.inf))


def notch_change(before: Piece, after: Piece) -> Change:
    """How far in front of the old crown notch the new one stands on a top sleeve's head."""
    shift = _crown_notch_mm(after) - _crown_notch_mm(before)
    return Change(name="crown notch", added_mm=shift, at_mm=_crown_notch(after))


def _crown_notch(top: Piece) -> FloatArray:
    return next(notch.point_mm for notch in top.notches if notch.name == "crown")


def _crown_notch_mm(top: Piece) -> float:
    """Distance along the head from the crown forward to the crown notch."""
    points = (top.points_mm["crown"], _crown_notch(top))
    places = (top.head.place_where_x(float(point[0])) for point in points)
    crown, notch = (top.head.distance_mm(place) for place in places)
    return notch - crown


def _most(before: Piece, after: Piece, name: str, span: tuple[float, float]) -> Change:
    """The greatest distance between two heads over a stretch of x that both have."""
    low = max(span[0], before.head.start_mm[0], after.head.start_mm[0])
    high = min(span[1], before.head.end_mm[0], after.head.end_mm[0])
    where = np.linspace(low, high, 25)
    old, new = (_heights(piece, where) for piece in (before, after))
    gaps = np.hypot(*(new[:, None] - old[None]).transpose(2, 0, 1)).min(axis=1)
    most = int(gaps.argmax())
    way = np.sign(old[most, 1] - new[most, 1])
    return Change(name=name, added_mm=float(way * gaps[most]), at_mm=new[most])


def _heights(piece: Piece, where_x: FloatArray) -> FloatArray:
    """Points (n, 2) of a head at given x; near enough for words, not for cutting."""
    line = piece.head.polyline(32)
    return np.stack([where_x, np.interp(where_x, line[:, 0], line[:, 1])], axis=1)


def _lowest(piece: Piece) -> FloatArray:
    line = piece.head.polyline()
    return np.asarray(line[line[:, 1].argmax()])
