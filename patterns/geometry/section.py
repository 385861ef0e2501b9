"""Where the two seams round the tube turn the elbow, and what moving them costs.

Sleeve geometry, section 3. Two operations must be told apart: a seam that is only moved and
ironed (`iron_for_seam_only`, the elbow stays) and a sleeve that is re-drafted (`elbow_turn`).
"""

import dataclasses
import math
from dataclasses import dataclass

from patterns.geometry.refusals import (
    BadMeasure,
    GeometryRefused,
    SeamOutOfQuarter,
    checked_number,
)
from patterns.geometry.roots import rising_root
from patterns.geometry.tube import Section

__all__ = [
    "Section",
    "bend_factor",
    "bend_from_lengths",
    "elbow_turn",
    "flat_to_round_bend",
    "iron_for_seam_only",
    "lengths_from_bend",
    "shifts_for_turn",
    "twist_per_mm",
    "width_changes",
]

_NOTHING = 1e-9
_CLOSE_DEG = 1e-11


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seams:
    """Both seams: how far moved from 50-50, and the share of turning left on each old fold."""

    hindarm_out_mm: float
    forearm_in_mm: float
    ironed_hindarm: float
    ironed_forearm: float

    def __post_init__(self) -> None:
        checked_number(self.hindarm_out_mm, "move of the hindarm seam")
        checked_number(self.forearm_in_mm, "move of the forearm seam")
        _checked_share(self.ironed_hindarm, "share ironed at the hindarm")
        _checked_share(self.ironed_forearm, "share ironed at the forearm")

    def moved(self, hindarm_mm: float, forearm_mm: float) -> "_Seams":
        return dataclasses.replace(
            self,
            hindarm_out_mm=self.hindarm_out_mm + hindarm_mm,
            forearm_in_mm=self.forearm_in_mm + forearm_mm,
        )

    def elbow_deg(self, section: Section) -> float:
        furthest_mm = max(abs(self.hindarm_out_mm), abs(self.forearm_in_mm))
        quarter_mm = section.girth_mm / 4.0
        if furthest_mm > quarter_mm * (1.0 + _NOTHING):
            raise SeamOutOfQuarter(
                f"A seam {furthest_mm:.0f} mm from the fold is past a quarter of the sleeve's "
                f"girth ({quarter_mm:.0f} mm); move it less."
            )
        bend_x, bend_y = section.bend_vector(
            [
                (-self.forearm_in_mm, self.ironed_forearm - 1.0),
                (0.0, -self.ironed_forearm),
                (section.girth_mm / 2.0 - self.hindarm_out_mm, 1.0 - self.ironed_hindarm),
                (section.girth_mm / 2.0, self.ironed_hindarm),
            ]
        )
        if math.hypot(bend_x, bend_y) < _NOTHING:
            raise GeometryRefused(
                "The two seams lie on each other, so no elbow can bend; part them first."
            )
        return math.degrees(math.atan2(bend_y, -bend_x)) + 0.0  # never minus nothing


def elbow_turn(
    section: Section,
    hindarm_out_mm: float,
    forearm_in_mm: float,
    *,
    difference_mm: float = 1.0,
    ironed_hindarm: float = 0.0,
    ironed_forearm: float = 0.0,
) -> float:
    """Degrees by which the elbow points outward of straight back, from where the seams lie.

    hindarm_out_mm, forearm_in_mm: arc lengths round the section from 50-50. difference_mm: hindarm
    minus forearm length; its amount does not change the direction, but a sleeve without it has no
    elbow. ironed_*: share (0 to 1) of the turning left on the old fold, 0 for a re-drafted seam.
    Round and re-drafted: (a + b) / 2. Holds to first order (0.1 + 0.0125 |a - b| T degrees, T the
    flat turning up to 30). Refuses BadMeasure, SeamOutOfQuarter past a quarter of the girth.
    """
    if checked_number(difference_mm, "hindarm length over forearm length") <= 0.0:
        raise BadMeasure(
            "A sleeve whose hindarm is no longer than its forearm has no elbow to turn; give it "
            "bend first."
        )
    return _Seams(
        hindarm_out_mm=hindarm_out_mm,
        forearm_in_mm=forearm_in_mm,
        ironed_hindarm=ironed_hindarm,
        ironed_forearm=ironed_forearm,
    ).elbow_deg(section)


def shifts_for_turn(
    section: Section,
    turn_deg: float,
    *,
    hindarm_out_mm: float = 0.0,
    forearm_in_mm: float = 0.0,
    share: float = 0.5,
    ironed_hindarm: float = 0.0,
    ironed_forearm: float = 0.0,
) -> tuple[float, float]:
    """Further moves (hindarm out, forearm in; mm) that point the elbow outward by turn_deg more.

    hindarm_out_mm, forearm_in_mm: where the seams lie now. share: the hindarm's part of the move.
    ironed_*: shares of the turning left on the old folds, now and afterwards. Round and
    re-drafted: 2 G e / 360, shared out. Refuses BadMeasure, and SeamOutOfQuarter when a seam would
    have to pass a quarter of the girth.
    """
    hindarm_part = _checked_share(share, "hindarm's part of the move")
    forearm_part = 1.0 - hindarm_part
    now = _Seams(
        hindarm_out_mm=hindarm_out_mm,
        forearm_in_mm=forearm_in_mm,
        ironed_hindarm=ironed_hindarm,
        ironed_forearm=ironed_forearm,
    )
    aim_deg = now.elbow_deg(section) + checked_number(turn_deg, "turn of the elbow")
    quarter_mm = section.girth_mm / 4.0
    seams = ((hindarm_part, hindarm_out_mm), (forearm_part, forearm_in_mm))
    low = max((-quarter_mm - x) / part for part, x in seams if part > 0.0)
    high = min((quarter_mm - x) / part for part, x in seams if part > 0.0)

    def over_deg(move_mm: float) -> float:
        moved = now.moved(hindarm_part * move_mm, forearm_part * move_mm)
        return moved.elbow_deg(section) - aim_deg

    move_mm = 2.0 * section.girth_mm * turn_deg / 360.0
    if turn_deg != 0.0 and not (section.is_round and ironed_hindarm == ironed_forearm == 0.0):
        move_mm = rising_root(over_deg, low, high, close=_CLOSE_DEG)
    if not low <= move_mm <= high:
        raise SeamOutOfQuarter(
            f"Turning the elbow by {turn_deg:g} degrees would take a seam past a quarter of the "
            f"sleeve's girth ({quarter_mm:.0f} mm); turn it less, share the move between both "
            "seams, or re-draft what was ironed."
        )
    return hindarm_part * move_mm, forearm_part * move_mm


def bend_from_lengths(
    section: Section, difference_mm: float, a_deg: float = 0.0, b_deg: float = 0.0
) -> float:
    """Bend at the elbow (degrees) from hindarm minus forearm length, seams at 180 - a and -b.

    Round with a = b: 4 D / (r pi^2) radians. Below zero bends backward. Refuses BadMeasure,
    SeamOutOfQuarter.
    """
    return _bend_of_one_mm(section, a_deg, b_deg) * checked_number(difference_mm, "difference")


def lengths_from_bend(
    section: Section, bend_deg: float, a_deg: float = 0.0, b_deg: float = 0.0
) -> float:
    """Hindarm minus forearm length (mm) that bends the elbow by bend_deg; the inverse."""
    return checked_number(bend_deg, "bend") / _bend_of_one_mm(section, a_deg, b_deg)


def bend_factor(a_deg: float, b_deg: float) -> float:
    """Bend at equal seam turning, as a share of that of a 50-50 round sleeve: cos((a - b) / 2)."""
    return math.cos(math.radians(checked_number(a_deg - b_deg, "angle of the seams")) / 2.0)


def flat_to_round_bend(flat_turning_deg: float) -> float:
    """Bend (degrees) of a 50-50 sleeve, turned so much while flat, once it is round: 4 T / pi."""
    return 4.0 / math.pi * checked_number(flat_turning_deg, "turning of the flat sleeve")


def twist_per_mm(d_top_mm: float, d_under_mm: float, section: Section) -> float:
    """Degrees by which each mm of length spirals when top and under sleeve differ.

    d_*: hindarm minus forearm length on that piece. A sound sleeve gives 0.
    """
    unlike_mm = checked_number(d_under_mm - d_top_mm, "difference of top and under sleeve")
    return math.degrees(unlike_mm / section.girth_mm / section.radius_mm)


def iron_for_seam_only(strip_mm: float, turning_deg: float) -> float:
    """Millimetres by which the two new edges differ when only the seam moves: 2 x tau.

    strip_mm: width given from one piece to the other; turning_deg: turning of the fold line over
    that stretch. The top sleeve's edge is the short one at both seams: stretch the top at the
    forearm, shrink the under sleeve at the hindarm. The elbow does not turn.
    """
    strip_mm = checked_number(strip_mm, "width of the strip")
    return 2.0 * strip_mm * math.radians(checked_number(turning_deg, "turning of the fold"))


def width_changes(hindarm_out_mm: float, forearm_in_mm: float) -> tuple[float, float]:
    """Change of the top and of the under sleeve's width (mm) at one level; they sum to 0."""
    top_mm = checked_number(forearm_in_mm - hindarm_out_mm, "move of the seams")
    return top_mm, -top_mm


def _bend_of_one_mm(section: Section, a_deg: float, b_deg: float) -> float:
    for angle_deg in (a_deg, b_deg):
        if abs(checked_number(angle_deg, "angle of the seam")) > 90.0:
            raise SeamOutOfQuarter(
                f"A seam {abs(angle_deg):.0f} degrees from the fold is past its quarter; move it "
                "less."
            )
    hindarm_u, forearm_u = section.arc_at(180.0 - a_deg), section.arc_at(-b_deg)
    top_mm = hindarm_u - forearm_u
    under_mm = section.girth_mm - top_mm
    if min(top_mm, under_mm) <= _NOTHING * section.girth_mm:
        raise GeometryRefused("The two seams lie on each other, so no elbow can bend; part them.")
    turning = 1.0 / top_mm + 1.0 / under_mm
    bend_x, bend_y = section.bend_vector([(hindarm_u, turning), (forearm_u, -turning)])
    return math.degrees(math.hypot(bend_x, bend_y))


def _checked_share(share: float, what: str) -> float:
    if not 0.0 <= checked_number(share, what) <= 1.0:
        raise BadMeasure(f"The {what} lies between 0 and 1, not at {share:g}; give it again.")
    return share
