"""The sleeve's tube in section: places, normals, and the bend that its seams give it.

Section angle phi: 0 front, 90 outside of the arm, 180 back, 270 body side. Section coordinates:
x towards the front, y towards the outside. Sleeve geometry, sections 1 and 3.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import ArcLength, FloatArray
from patterns.geometry.ellipse import perimeter
from patterns.geometry.refusals import BadMeasure, checked_girth, checked_number

_LEAST_RATIO, _GREATEST_RATIO = 0.02, 50.0
_PANELS = 64
_ROUND = 1e-12
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Section:
    """An elliptic section: girth_mm round, ratio = front-back depth over lateral width.

    Places are arc lengths u (mm) from the front through the outside to the back; u wraps.
    Refuses NoGirth, BadMeasure.
    """

    girth_mm: float
    ratio: float = 1.0
    p_mm: float = field(init=False)
    q_mm: float = field(init=False)
    _arc: ArcLength = field(init=False, repr=False)

    def __post_init__(self) -> None:
        checked_girth(self.girth_mm, "girth of the sleeve")
        if not _LEAST_RATIO <= checked_number(self.ratio, "depth over width") <= _GREATEST_RATIO:
            raise BadMeasure(
                f"A sleeve {self.ratio:g} times as deep as it is wide is no sleeve; give the depth "
                "from front to back over the width across."
            )
        lateral = self.girth_mm / perimeter(self.ratio, 1.0)
        p_mm, q_mm = self.ratio * lateral, lateral
        turns = np.linspace(0.0, math.tau, _PANELS + 1)
        arc = ArcLength(turns, lambda t: np.hypot(p_mm * np.sin(t), q_mm * np.cos(t)))
        for name, value in (("p_mm", p_mm), ("q_mm", q_mm), ("_arc", arc)):
            object.__setattr__(self, name, value)

    @property
    def is_round(self) -> bool:
        """Whether depth and width are the same."""
        return abs(self.ratio - 1.0) <= _ROUND

    @property
    def radius_mm(self) -> float:
        """Radius of the round tube of this girth."""
        return self.girth_mm / math.tau

    def point_at(self, u_mm: ArrayLike) -> FloatArray:
        """Points (..., 2) of the section at arc lengths of any shape."""
        turn = self._turn(u_mm)
        return np.stack([self.p_mm * np.cos(turn), self.q_mm * np.sin(turn)], axis=-1)

    def normal_at(self, u_mm: ArrayLike) -> FloatArray:
        """Outward unit normals (..., 2) at arc lengths of any shape."""
        turn = self._turn(u_mm)
        along = np.stack([self.q_mm * np.cos(turn), self.p_mm * np.sin(turn)], axis=-1)
        return np.asarray(along / np.hypot(along[..., 0], along[..., 1])[..., None])

    def phi_at(self, u_mm: float) -> float:
        """Section angle (0 <= phi < 360) of a place, as seen from the middle of the section."""
        x, y = self.point_at(checked_number(u_mm, "place round the sleeve"))
        return math.degrees(math.atan2(y, x)) % 360.0

    def arc_at(self, phi_deg: float) -> float:
        """Arc length (mm) from the front of the place at a section angle; keeps whole turns."""
        whole, part = divmod(checked_number(phi_deg, "section angle"), 360.0)
        phi = math.radians(part)
        turn = math.atan2(self.p_mm * math.sin(phi), self.q_mm * math.cos(phi)) % math.tau
        return whole * self.girth_mm + float(self._arc.length_at(turn))

    def bend_vector(self, kinks: list[tuple[float, float]]) -> FloatArray:
        """Bend vector (2,) of the tube from its kinks (place u in mm, concentrated turning).

        The kinks, above zero where edges are convex, sum to 0. The elbow points along the vector;
        its length is the bend in the unit of the kinks. Round: sum(k n) / pi. Otherwise the
        least-squares plane through the extra length of the generators, which is piecewise linear
        by arc length and turns by each kink. Sleeve geometry, section 3.
        """
        places = np.array([u % self.girth_mm for u, _ in kinks])
        turns = np.array([turning for _, turning in kinks])
        if self.is_round:
            return np.asarray(turns @ self.normal_at(places) / math.pi)
        edges = np.union1d(np.linspace(0.0, math.tau, _PANELS + 1), self._turn(places))
        half = np.diff(edges)[:, None] / 2.0
        turn = edges[:-1, None] + half * (1.0 + _NODES)
        at = np.stack([self.p_mm * np.cos(turn), self.q_mm * np.sin(turn)])
        weight = half * _WEIGHTS * np.hypot(self.p_mm * np.sin(turn), self.q_mm * np.cos(turn))
        u = self._arc.length_at(turn)
        extra = -u * (turns @ places) / self.girth_mm
        extra -= np.maximum(u[..., None] - places, 0.0) @ turns
        return np.asarray((extra * at * weight).sum((1, 2)) / (at * at * weight).sum((1, 2)))

    def _turn(self, u_mm: ArrayLike) -> FloatArray:
        along = np.asarray(u_mm, dtype=np.float64) % self.girth_mm
        return self._arc.parameter_at(along)
