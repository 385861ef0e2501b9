"""One piece of a sleeve as the cutter lays it down: edges, named points, notches, grain line."""

from dataclasses import dataclass, replace
from typing import Final, Self

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path, line
from patterns.geometry.strip import Strip

TOP: Final = "top sleeve"
UNDER: Final = "under sleeve"

_TRUED = 0.25  # of the cuff's width at either seam; trade practice, no source
_GRAIN_SHARE = 0.8  # of the way from the biceps line to the elbow


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Notch:
    """A notch: on which edge, where, and the unit direction into the cloth."""

    name: str
    edge: str
    point_mm: FloatArray
    inward: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Piece:
    """One piece of the sleeve, net of seams; x forward, y down from the crown, mm.

    head and cuff run from hindarm to forearm; hindarm and forearm run down from head to cuff.
    Points are named "hindarm top" where a seam meets the head, "hindarm head" at the biceps line,
    "hindarm elbow", "hindarm cuff", the same for the forearm, and "crown" on the top sleeve.
    """

    name: str
    head: Path
    hindarm: Path
    cuff: Path
    forearm: Path
    points_mm: dict[str, FloatArray]
    notches: tuple[Notch, ...]
    grain: Path

    @classmethod
    def joined(cls, name: str, head: Path, strip: Strip, head_notches: tuple[Notch, ...]) -> Self:
        """The piece made of a head (hindarm to forearm) and the strip below the biceps line."""
        ends = {"hindarm": head.start_mm, "forearm": head.end_mm}
        points = {"crown": np.zeros(2)} if name == TOP else {}
        seams, notches = {}, list(head_notches)
        for seam, end in ends.items():
            below = strip.edge(seam)
            seams[seam] = line(seam, end, below.start_mm).then(below)
            places = ("top", "head", "elbow", "cuff")
            marks = (end, below.start_mm, strip.elbow(seam), below.end_mm)
            points |= {f"{seam} {place}": mark for place, mark in zip(places, marks, strict=True)}
        across = points["forearm elbow"] - points["hindarm elbow"]
        for seam, way in (("hindarm", across), ("forearm", -across)):
            at, inward = points[f"{seam} elbow"], way / np.hypot(*way)
            notches.append(Notch(name="elbow", edge=seam, point_mm=at, inward=inward))
        return cls(
            name=name,
            head=head,
            hindarm=seams["hindarm"],
            cuff=_cuff(seams["hindarm"], seams["forearm"]),
            forearm=seams["forearm"],
            points_mm=points,
            notches=tuple(notches),
            grain=_grain(points),
        )

    @property
    def edges(self) -> tuple[Path, ...]:
        """Head, hindarm, cuff, forearm."""
        return self.head, self.hindarm, self.cuff, self.forearm

    def moved(self, x_mm: float, y_mm: float) -> Self:
        """The same piece laid elsewhere on the paper, unturned."""
        shift = np.array([x_mm, y_mm])
        head, hindarm, cuff, forearm, grain = (
            path.mapped(np.eye(2), shift) for path in (*self.edges, self.grain)
        )
        return replace(
            self,
            head=head,
            hindarm=hindarm,
            cuff=cuff,
            forearm=forearm,
            grain=grain,
            points_mm={name: point + shift for name, point in self.points_mm.items()},
            notches=tuple(replace(one, point_mm=one.point_mm + shift) for one in self.notches),
        )

    def outline(self) -> Path:
        """The closed outline: over the head forward, down the forearm, back along the cuff, up."""
        closed = self.head.then(self.forearm).then(self.cuff.backwards())
        return closed.then(self.hindarm.backwards())

    def width_mm(self, level: str) -> float:
        """Width across the piece at "head" (the biceps line), "elbow" or "cuff"."""
        across = self.points_mm[f"forearm {level}"] - self.points_mm[f"hindarm {level}"]
        return float(np.hypot(*across))


def _cuff(hindarm: Path, forearm: Path) -> Path:
    """The cuff: straight, its ends trued square to the seams, so that sewn it shows no point."""
    first, last = hindarm.end_mm, forearm.end_mm
    inner, outer = (first + (last - first) * share for share in (_TRUED, 1 - _TRUED))
    straight = line("cuff", inner, outer)
    return _trued(hindarm, inner).then(straight).then(_trued(forearm, outer).backwards())


def _trued(seam: Path, inner: FloatArray) -> Path:
    """From a seam's end, square to it, into the straight cuff at `inner`."""
    end, way = seam.end_mm, seam.tangent(float(len(seam.spans_mm)))
    along = inner - end
    square = np.array([way[1], -way[0]])
    square = square * np.copysign(np.hypot(*along) / 3, square @ along)
    return Path(name="cuff", spans_mm=np.array([[end, end + square, inner - along / 3, inner]]))


def _grain(points: dict[str, FloatArray]) -> Path:
    """Plumb from the middle of the biceps line toward the elbow."""
    top = (points["forearm head"] + points["hindarm head"]) / 2
    elbow = (points["forearm elbow"] + points["hindarm elbow"]) / 2
    return line("grain", top, np.array([top[0], top[1] + _GRAIN_SHARE * (elbow - top)[1]]))
