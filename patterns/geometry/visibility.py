"""What of a seam is seen from where, on an elliptic tube. Sleeve geometry, section 4.

World: x forward, y outward from the body, z up, for either side. Views: "side" looks at the
outside of the arm, "front" and "back" at the wearer.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.refusals import BadMeasure, checked_number
from patterns.geometry.section import Section

View = Literal["side", "front", "back"]

_TOWARDS: dict[str, tuple[float, float, float]] = {
    "side": (0.0, 1.0, 0.0),
    "front": (1.0, 0.0, 0.0),
    "back": (-1.0, 0.0, 0.0),
}
_END_ON = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """How a sleeve hangs, in degrees: cuff forward, cuff away from the body, elbow outward."""

    pitch_deg: float = 0.0
    abduction_deg: float = 0.0
    inward_turn_deg: float = 0.0

    def __post_init__(self) -> None:
        for angle_deg in (self.pitch_deg, self.abduction_deg, self.inward_turn_deg):
            checked_number(angle_deg, "angle of the sleeve")

    def axes(self) -> FloatArray:
        """Rows (3, 3): the section's front, its outside, and the sleeve's axis from cuff to head.

        The sleeve turns about its own axis, then leaves the body, then swings in the armhole.
        """
        pitch, out, turn = np.radians([self.pitch_deg, self.abduction_deg, self.inward_turn_deg])
        # The back of the tube turns outward, its outside forward: phi falls by the turn.
        turned = np.array(
            [
                [math.cos(turn), -math.sin(turn), 0.0],
                [math.sin(turn), math.cos(turn), 0.0],
                [0.0, 0.0, 1.0],
            ]
        )
        lifted = np.array(
            [
                [1.0, 0.0, 0.0],
                [0.0, math.cos(out), math.sin(out)],
                [0.0, -math.sin(out), math.cos(out)],
            ]
        )
        swung = np.array(
            [
                [math.cos(pitch), 0.0, math.sin(pitch)],
                [0.0, 1.0, 0.0],
                [-math.sin(pitch), 0.0, math.cos(pitch)],
            ]
        )
        return np.asarray(turned @ lifted @ swung)


def is_visible(section: Section, phi_deg: float, pose: Pose, view: View) -> bool:
    """Whether the tube's surface at a section angle faces the viewer. Refuses BadMeasure."""
    normal = section.normal_at(section.arc_at(phi_deg))
    return bool(normal @ pose.axes()[:2] @ _towards(view) > 0.0)


def edge_distance_mm(section: Section, phi_deg: float, pose: Pose, view: View) -> float:
    """Distance (mm) of a place on the tube from the nearest edge of its silhouette.

    Above zero when the place is visible, below zero when it is hidden behind the tube. Refuses
    BadMeasure when the view looks along the sleeve, where it has no two edges.
    """
    towards, axes = _towards(view), pose.axes()
    across = np.cross(towards, axes[2])
    if np.linalg.norm(across) < _END_ON:
        raise BadMeasure(f"From the {view} one looks along this sleeve; choose another view.")
    front, outside = axes[:2] @ across / np.linalg.norm(across)
    place = float(section.point_at(section.arc_at(phi_deg)) @ [front, outside])
    inside = math.hypot(section.p_mm * front, section.q_mm * outside) - abs(place)
    return inside if is_visible(section, phi_deg, pose, view) else -inside


def shows_from_side(section: Section, hindarm_out_mm: float, turn_deg: float = 0.0) -> float:
    """How far (mm) inside the sleeve's back edge the hindarm seam is seen from the side.

    turn_deg: inward turn of the whole tube. Below zero the seam is hidden, so far round the edge.
    Round: r (1 - cos(a + turn)). Known only for a known section, so it carries little weight;
    whether the seam shows at all is sound.
    """
    turn = math.radians(checked_number(turn_deg, "inward turn"))
    u_mm = section.girth_mm / 2.0 - checked_number(hindarm_out_mm, "move of the hindarm seam")
    point, normal = section.point_at(u_mm), section.normal_at(u_mm)
    ahead = np.array([math.cos(turn), math.sin(turn)])
    outward = np.array([-math.sin(turn), math.cos(turn)])
    inside = _half_width(section, turn) + float(point @ ahead)
    return math.copysign(inside, float(normal @ outward))


def hindarm_for_show(section: Section, show_mm: float, turn_deg: float = 0.0) -> float:
    """How far out (mm) the hindarm seam lies that shows by so much from the side; the inverse.

    Refuses BadMeasure for more than the whole width of the sleeve.
    """
    turn = math.radians(checked_number(turn_deg, "inward turn"))
    width_mm = 2.0 * _half_width(section, turn)
    if abs(checked_number(show_mm, "width that shows")) > width_mm:
        raise BadMeasure(
            f"A seam cannot show {abs(show_mm):.0f} mm from the edge of a sleeve that looks "
            f"{width_mm:.0f} mm wide from the side; measure it again."
        )
    # By the ellipse's own parameter t a place lies half (1 + cos(t - front edge)) inside the back
    # edge, which is width cos^2 of half that turn.
    front_edge = math.atan2(section.q_mm * math.sin(turn), section.p_mm * math.cos(turn))
    round_it = 2.0 * math.acos(min(1.0, math.sqrt(abs(show_mm) / width_mm)))
    t = front_edge + (round_it if show_mm >= 0.0 else math.tau - round_it)
    whole, part = divmod(t, math.tau)
    phi = math.atan2(section.q_mm * math.sin(part), section.p_mm * math.cos(part)) % math.tau
    return section.girth_mm * (0.5 - whole) - section.arc_at(math.degrees(phi))


def _half_width(section: Section, turn: float) -> float:
    """Half the width of the tube's silhouette from the side."""
    return math.hypot(section.p_mm * math.cos(turn), section.q_mm * math.sin(turn))


def _towards(view: str) -> FloatArray:
    if view not in _TOWARDS:
        raise BadMeasure(f"There is no view from the {view!r}; choose side, front or back.")
    return np.array(_TOWARDS[view])
