"""Crown height, lift and ease of a sleeve head, as the plane cut of a tube.

Lift is the angle between the sleeve's axis and the armhole plane: 0 hanging in it, 90 straight
out. Real tailored crowns are drawn fuller than the plane cut: use these for changes and for
sanity, not as the drafting shape. Sleeve geometry, section 5.
"""

import math

from patterns.geometry.ellipse import perimeter
from patterns.geometry.refusals import (
    BadMeasure,
    SleeveWiderThanHead,
    checked_girth,
    checked_number,
    checked_positive,
)
from patterns.geometry.roots import last_where


def head_length(girth_mm: float, crown_height_mm: float) -> float:
    """Length of the head line (mm) of a sleeve this girth at the biceps, crown this high.

    Refuses NoGirth, and BadMeasure for a crown below zero.
    """
    radius_mm = checked_girth(girth_mm, "biceps girth of the sleeve") / math.tau
    if checked_number(crown_height_mm, "crown height") < 0.0:
        raise BadMeasure(
            f"A crown cannot be {crown_height_mm:.0f} mm high; measure it from the biceps line up."
        )
    return perimeter(radius_mm, math.hypot(radius_mm, crown_height_mm / 2.0))


def crown_from_lift(girth_mm: float, lift_deg: float) -> float:
    """Crown height (mm) that lets the sleeve stand out by lift_deg: (B / pi) / tan(lift).

    Refuses BadMeasure outside 0 < lift <= 90 (no crown is high enough for 0).
    """
    diameter_mm = checked_girth(girth_mm, "biceps girth of the sleeve") / math.pi
    if not 0.0 < checked_number(lift_deg, "lift") <= 90.0:
        raise BadMeasure(f"A sleeve's lift lies between 0 and 90 degrees, not at {lift_deg:g}.")
    return diameter_mm * max(0.0, math.tan(math.radians(90.0 - lift_deg)))


def lift_from_crown(girth_mm: float, crown_height_mm: float) -> float:
    """Lift (degrees) of a sleeve with this crown; a higher crown hangs closer. The inverse."""
    diameter_mm = checked_girth(girth_mm, "biceps girth of the sleeve") / math.pi
    crown_height_mm = checked_number(crown_height_mm, "crown height")
    if crown_height_mm < 0.0:
        raise BadMeasure("A crown cannot be below zero; measure it from the biceps line up.")
    return math.degrees(math.atan2(diameter_mm, crown_height_mm))


def crown_for_ease(girth_mm: float, armhole_girth_mm: float, ease_mm: float) -> float:
    """Crown height (mm) whose head line is ease_mm longer than the armhole.

    Refuses SleeveWiderThanHead when the biceps girth exceeds that head line.
    """
    girth_mm = checked_girth(girth_mm, "biceps girth of the sleeve")
    armhole_girth_mm = checked_girth(armhole_girth_mm, "armhole girth")
    wanted_mm = checked_positive(armhole_girth_mm + ease_mm, "length of the head line")
    if girth_mm > wanted_mm:
        raise SleeveWiderThanHead(
            f"A sleeve {girth_mm:.0f} mm round cannot have a head line of {wanted_mm:.0f} mm; "
            "narrow the sleeve, enlarge the armhole or give more ease."
        )
    return last_where(lambda crown: head_length(girth_mm, crown) <= wanted_mm, 0.0, wanted_mm)
