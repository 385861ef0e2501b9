"""From where a hanging sleeve is looked at, and what is seen of it from there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Self

import numpy as np

from patterns.drawing.sheet import amount
from patterns.geometry.arclength import FloatArray
from patterns.geometry.hanging import SEAMS, Hanging, Line, Seam
from patterns.geometry.section import Section
from patterns.geometry.visibility import shows_from_side

LEAST_MM: Final = 0.05
ON_EDGE: Final = 0.01  # a surface that leans to the viewer by less is the edge itself
_TOWARDS: Final = {
    "back": np.array([-1.0, 0.0, 0.0]),
    "side": np.array([0.0, 1.0, 0.0]),
    "front": np.array([1.0, 0.0, 0.0]),
}
_WORDS_MM, _ELBOW_MM = 18.0, 23.0  # room beside a view for its words, and for the elbow's arrow
_INSIDE_MM = 18.0  # room for the body's side of a view
_STEP_MM = 4.0  # the room grows by so much, so that the views seldom shift when a number does


@dataclass(frozen=True, slots=True, kw_only=True)
class Hung:
    """A sleeve hung, with both its seams and the surface of its head."""

    hung: Hanging
    seams: dict[Seam, Line]
    head_mm: FloatArray

    @classmethod
    def of(cls, hung: Hanging) -> Self:
        seams = {seam: hung.seam(seam) for seam in SEAMS}
        return cls(hung=hung, seams=seams, head_mm=hung.head())

    def sight(self, seam: Seam, look: Look) -> str:
        """Below the head: "seen", "hidden", "partly hidden" or "on the edge"."""
        faces = self.seams[seam].faces(look.towards)[self.hung.neck_at - len(self.hung.down_mm) :]
        if (np.abs(faces) <= ON_EDGE).all():
            return "on the edge"
        if (faces > -ON_EDGE).all():
            return "seen"
        return "hidden" if (faces < ON_EDGE).all() else "partly hidden"

    @property
    def shows_mm(self) -> float:
        """How far the hindarm seam shows from the side at the elbow; below zero it is hidden."""
        sleeve = self.hung.sleeve
        section = Section(girth_mm=sleeve.girth_mm.elbow, ratio=sleeve.section_ratio)
        return shows_from_side(section, sleeve.hindarm_shift_mm.elbow)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One view: from where, how world becomes paper, and what the two sides of the paper are."""

    name: str
    across: FloatArray
    scale: float
    origin_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def towards(self) -> FloatArray:
        return _TOWARDS[self.name]

    @property
    def out(self) -> int:
        """The way on paper of what is written beside the sleeve: outward, or to the back."""
        return int(np.sign(self.across[1] if self.name != "side" else -self.across[0]))

    def at(self, points_mm: FloatArray) -> FloatArray:
        """World points (..., 3) on paper (..., 2)."""
        flat = np.stack([points_mm @ self.across, -points_mm[..., 2]], axis=-1)
        return np.asarray(self.scale * flat + np.array(self.origin_mm))

    def outline(self, drawn: Hung) -> FloatArray:
        """From one end of the cuff up the tube, over the head and down the other edge, on paper.

        From front and back the body's edge of the head is the seam of the armhole.
        """
        one, other = (self.at(edge) for edge in drawn.hung.edges(self.towards))
        left, right = (one, other) if one[0, 0] < other[0, 0] else (other, one)
        head = self.at(drawn.head_mm)
        up, out = 1.5 * np.pi, self.out * np.pi / 2
        low, high = (np.pi, 2 * np.pi) if self.name == "side" else (up + out / 4, up + out)
        turn = np.linspace(low, high, 32)
        furthest = (head @ np.stack([np.cos(turn), np.sin(turn)])).argmax(axis=0)
        over = head[furthest[np.append(True, np.diff(furthest) != 0)]]
        if self.name != "side":
            over = np.concatenate([self.armhole(drawn.hung)[::-1], over])[:: self.out]
        return np.concatenate([left[::-1], over, right])

    def armhole(self, hung: Hanging) -> FloatArray:
        """The part of the armhole's seam that can be seen, from its top, on paper."""
        girth, top = hung.armhole.girth_mm, hung.armhole.crown_s_mm
        first, last = {
            "side": (hung.armhole.front_pitch_s_mm, hung.armhole.back_pitch_s_mm),
            "front": (top, 0.0),
            "back": (top, girth),
        }[self.name]
        return self.at(hung.armhole_mm(np.linspace(first, last, 14)))

    def room(self, states: list[Hung], outlines_mm: list[FloatArray]) -> tuple[float, float]:
        """How far the view with its words reaches to the left and right of its origin."""
        x = np.concatenate(outlines_mm)[:, 0] * self.out
        outside = float(x.max()) + _WORDS_MM
        inside = max(float(-x.min()) + 2.0, _INSIDE_MM)
        if self.name == "side":
            elbows = [self.at(state.hung.elbow()[0])[0] * self.out for state in states]
            outside = max(outside, max(elbows) + _ELBOW_MM)
        inside, outside = (float(np.ceil(mm / _STEP_MM)) * _STEP_MM for mm in (inside, outside))
        return (inside, outside) if self.out > 0 else (outside, inside)


def looks_of(side: str, scale: float) -> list[Look]:
    """For the wearer's right the front is on the right of the paper, as on the armhole plate."""
    way = 1 if side == "right" else -1
    across = {"back": (0, way, 0), "side": (way, 0, 0), "front": (0, -way, 0)}
    names = ("back", "side", "front")[::way]
    return [
        Look(name=name, across=np.array(across[name], dtype=float), scale=scale) for name in names
    ]


def told(drawn: Hung, looks: list[Look]) -> str:
    """What is seen, in words, for those who cannot see the drawing."""
    angles, said = drawn.hung.angles, []
    for look in looks:
        seams = [f"the {seam} seam is {drawn.sight(seam, look)}" for seam in SEAMS]
        said.append(f"From the {look.name} {' and '.join(seams)}.")
    shows = drawn.shows_mm
    if abs(shows) >= LEAST_MM:
        said.append(
            f"At the elbow the hindarm seam {'shows' if shows > 0 else 'is hidden by'} "
            f"{amount(shows)} mm from the side."
        )
    said.append(
        f"The elbow points {_way(angles.elbow_turn_deg, 'outward', 'inward')} straight back."
    )
    said.append(f"The cuff hangs {_way(angles.pitch_deg, 'forward', 'back')} plumb.")
    return " ".join(said)


def _way(angle_deg: float, above: str, below: str) -> str:
    if abs(angle_deg) < 0.05:
        return "neither way of"
    return f"{amount(angle_deg)} degrees {above if angle_deg > 0 else below} of"
