"""One draft laid over another on chosen points, and how far apart their edges run.

The distance at a place of the new edge is square to the old edge (its nearest point), sampled by
equal steps of arc length along the new one; above zero the new edge lies outside, cloth is added.
Past its ends the old edge is carried on straight, so that a longer seam is not read as a wider one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, cos, degrees, sin
from typing import Final

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.draft import TwoPiece
from patterns.geometry.path import Path
from patterns.geometry.piece import Notch, Piece
from patterns.geometry.refusals import BadPoints

# What the cutter finds on both papers: notches of the head, and named points of the pieces.
NOTCHES: Final = ("crown", "front pitch", "back pitch")
POINTS: Final = tuple(
    f"{seam} {place}" for seam in ("hindarm", "forearm") for place in ("top", "elbow", "cuff")
)
SAMPLES: Final = 61
_GRID = 32  # a span, to begin looking from
_ROUNDS = 9
_LEAST_APART_MM = 1.0
_END = 1e-6  # of a span
# Edges whose outside lies to the left of the way they run, seen with x forward and y down.
_OUTSIDE: Final = {"head": 1.0, "forearm": 1.0, "hindarm": -1.0, "cuff": -1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """How the old draft is moved on the paper: first turned about the origin, then shifted (mm).

    `turn_deg` > 0 turns x forward toward y down. `apart_mm`: how much farther apart the two chosen
    points lie in the new draft; they cannot both be met, and the first one is.
    """

    turn_deg: float = 0.0
    shift_mm: tuple[float, float] = (0.0, 0.0)
    apart_mm: float = 0.0

    @property
    def matrix(self) -> FloatArray:
        turn = np.radians(self.turn_deg)
        return np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]])

    def at(self, points_mm: FloatArray) -> FloatArray:
        """Points (..., 2) moved."""
        return np.asarray(points_mm @ self.matrix.T + np.array(self.shift_mm))

    @classmethod
    def onto(cls, old_mm: FloatArray, new_mm: FloatArray) -> Motion:
        """That lays old points (n, 2) on new ones: none as drafted, one shift, two shift and turn.

        Refuses BadPoints: two points that lie on each other give no direction.
        """
        if not len(old_mm):
            return cls()
        turn, apart_mm = 0.0, 0.0
        if len(old_mm) > 1:
            was, now = old_mm[1] - old_mm[0], new_mm[1] - new_mm[0]
            long = [float(np.hypot(*way)) for way in (was, now)]
            if min(long) < _LEAST_APART_MM:
                raise BadPoints("The two points lie on each other; choose two that are apart.")
            turn = atan2(was[0] * now[1] - was[1] * now[0], float(was @ now))
            apart_mm = long[1] - long[0]
        motion = cls(turn_deg=degrees(turn), apart_mm=apart_mm)
        shift = new_mm[0] - motion.at(old_mm[0])
        return replace(motion, shift_mm=(float(shift[0]), float(shift[1])))

    def moved(self, piece: Piece) -> Piece:
        edges = {path.name: self._path(path) for path in piece.edges}
        return replace(
            piece,
            head=edges["head"],
            hindarm=edges["hindarm"],
            cuff=edges["cuff"],
            forearm=edges["forearm"],
            grain=self._path(piece.grain),
            points_mm={name: self.at(point) for name, point in piece.points_mm.items()},
            notches=tuple(self._notch(notch) for notch in piece.notches),
        )

    def _path(self, path: Path) -> Path:
        return path.mapped(self.matrix, self.shift_mm)

    def _notch(self, notch: Notch) -> Notch:
        return replace(notch, point_mm=self.at(notch.point_mm), inward=self.matrix @ notch.inward)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gaps:
    """Signed distances along one new edge from the old one; `gap_mm` > 0: cloth added.

    s_mm (n,): arc length along the new edge from its start; at_mm (n, 2) the places on it; on_mm
    (n, 2) the nearest places of the old edge; longer_mm: new length less old.
    """

    edge: str
    s_mm: FloatArray
    gap_mm: FloatArray
    at_mm: FloatArray
    on_mm: FloatArray
    longer_mm: float

    @property
    def most_added(self) -> int:
        """Index of the place where most cloth is added, or least taken away."""
        return int(self.gap_mm.argmax())

    @property
    def most_taken(self) -> int:
        return int(self.gap_mm.argmin())

    def at(self, s_mm: float) -> float:
        """The signed distance (mm) at an arc length along the new edge."""
        return float(np.interp(s_mm, self.s_mm, self.gap_mm))


def gaps(old: Path, new: Path, *, outside: float, samples: int = SAMPLES) -> Gaps:
    """Distances of a new edge from the old one.

    `outside` is 1 where the outside lies to the left of the way both run (x forward, y down: the
    way (1, 0) has (0, -1) to its left), -1 where it lies to the right.
    """
    s_mm = np.linspace(0.0, new.length_mm, samples)
    at = new.point(np.array([new.place_at(float(s)) for s in s_mm]))
    place = _nearest(old, at)
    on, along = old.point(place), _along(old, place)
    last = float(len(old.spans_mm))
    beyond = ((at - on) * along).sum(axis=1)
    past = ((place <= _END) & (beyond < 0)) | ((place >= last - _END) & (beyond > 0))
    on = np.where(past[:, None], on + beyond[:, None] * along, on)
    off = at - on
    out = outside * (off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0])
    return Gaps(
        edge=new.name,
        s_mm=s_mm,
        gap_mm=np.copysign(np.hypot(off[:, 0], off[:, 1]), out),
        at_mm=at,
        on_mm=on,
        longer_mm=new.length_mm - old.length_mm,
    )


def _nearest(path: Path, points_mm: FloatArray) -> FloatArray:
    """Parameter places (n,) of a line nearest to points (n, 2); corners of the line are met too."""
    last = float(len(path.spans_mm))
    place = np.full(len(points_mm), last / 2)
    half, steps = last / 2, np.linspace(-1.0, 1.0, len(path.spans_mm) * _GRID + 1)
    for _ in range(_ROUNDS):
        tried = np.clip(place[:, None] + half * steps, 0.0, last)
        off = path.point(tried) - points_mm[:, None]
        best = np.hypot(off[..., 0], off[..., 1]).argmin(axis=1)
        place = tried[np.arange(len(place)), best]
        half, steps = half * 4.0 / len(steps), np.linspace(-1.0, 1.0, _GRID + 1)
    return np.asarray(place)


def _along(path: Path, place: FloatArray) -> FloatArray:
    """Unit directions (n, 2); at a corner the middle one of the two."""
    last = float(len(path.spans_mm))
    ways = [path.tangent(np.clip(place + step, 0.0, last)) for step in (-_END, _END)]
    both = ways[0] + ways[1]
    return np.asarray(both / np.hypot(both[:, 0], both[:, 1])[:, None])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """One piece, the old draft moved onto the new, and the distance along every edge.

    `on_own`: laid on its own points; else moved as the other piece is, having none of them.
    """

    old: Piece
    new: Piece
    motion: Motion
    edges: tuple[Gaps, ...]
    on_own: bool

    @property
    def most_mm(self) -> float:
        return max(float(np.abs(edge.gap_mm).max()) for edge in self.edges)


def found(piece: Piece, name: str) -> FloatArray | None:
    """A point to lay by, on a piece: a notch of the head or a named point; None: not on it."""
    if name in NOTCHES:
        at = [one.point_mm for one in piece.notches if one.name == name and one.edge == "head"]
        return at[0] if at else None
    return piece.points_mm.get(name)


def lay(before: TwoPiece, after: TwoPiece, on: tuple[str, ...] = ()) -> tuple[Laid, Laid]:
    """Top and under sleeve, the old draft laid on the new by up to two named points.

    A piece that lacks a point is moved as the other. Refuses BadPoints a name that neither piece
    has in both drafts, and two points that lie on each other.
    """
    pairs = ((before.top, after.top), (before.under, after.under))
    own = [_motion(old, new, on) for old, new in pairs]
    some = next((motion for motion in own if motion is not None), None)
    if some is None:
        raise BadPoints(
            "No piece has these points in both versions: a notch went over to the other piece. "
            "Choose others."
        )
    top, under = (
        _laid(old, new, motion or some, on_own=motion is not None)
        for (old, new), motion in zip(pairs, own, strict=True)
    )
    return top, under


def _motion(old: Piece, new: Piece, on: tuple[str, ...]) -> Motion | None:
    points = [(found(old, name), found(new, name)) for name in on]
    both = [(was, now) for was, now in points if was is not None and now is not None]
    if len(both) < len(on):
        return None
    was_mm, now_mm = (np.array([pair[which] for pair in both]) for which in (0, 1))
    return Motion.onto(was_mm, now_mm)


def _laid(old: Piece, new: Piece, motion: Motion, *, on_own: bool) -> Laid:
    moved = motion.moved(old)
    edges = tuple(
        gaps(was, now, outside=_OUTSIDE[now.name])
        for was, now in zip(moved.edges, new.edges, strict=True)
    )
    return Laid(old=moved, new=new, motion=motion, edges=edges, on_own=on_own)


def round_gaps(old: ClosedCurve, new: ClosedCurve, samples: int = 4 * SAMPLES) -> Gaps:
    """Distances of a closed line from another, above zero where the new one lies outside."""
    s_mm = np.linspace(0.0, new.length_mm, samples, endpoint=False)
    at = new.point_at(s_mm)
    s_old = np.array([old.nearest(point) for point in at])
    on, along = old.point_at(s_old), old.tangent_at(s_old)
    off = at - on
    out = np.sign(old.signed_area_mm2) * (off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0])
    return Gaps(
        edge="armhole",
        s_mm=s_mm,
        gap_mm=np.copysign(np.hypot(off[:, 0], off[:, 1]), out),
        at_mm=at,
        on_mm=on,
        longer_mm=new.length_mm - old.length_mm,
    )
