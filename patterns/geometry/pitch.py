"""Pitch: what turning the sleeve in the armhole does, and how the readings become an angle.

A shift or angle above zero hangs the cuff further forward. Sleeve geometry, section 2.
"""

import math

import numpy as np

from patterns.geometry.refusals import BadMeasure, checked_girth, checked_number, checked_positive

# Four simulated armholes: height over width, and the share of the law's shift that left least
# strain. A reading of four points, not a law.
_TALLNESS = (1.04, 1.15, 1.31, 1.56)
_SHARE = (0.995, 0.94, 0.86, 0.72)


def angle_from_shift(shift_mm: float, girth_mm: float) -> float:
    """Degrees the cuff swings forward when the sleeve goes shift_mm along the armhole: 360 s / G.

    Exact as the mean rotation of the tangent on any armhole. Refuses NoGirth, BadMeasure.
    """
    return 360.0 * checked_number(shift_mm, "shift") / checked_girth(girth_mm, "armhole girth")


def shift_from_angle(angle_deg: float, girth_mm: float) -> float:
    """Shift along the armhole (mm) that swings the cuff forward by angle_deg; the inverse."""
    return checked_number(angle_deg, "angle") * checked_girth(girth_mm, "armhole girth") / 360.0


def angle_from_cuff_offset(offset_mm: float, drop_mm: float) -> float:
    """Degrees the cuff must go forward when the wrist lies offset_mm forward, drop_mm down."""
    offset_mm = checked_number(offset_mm, "offset at the cuff")
    return math.degrees(math.atan(offset_mm / checked_positive(drop_mm, "drop to the cuff")))


def angle_from_slack(depth_mm: float, pitch_width_mm: float) -> float:
    """Degrees from slack that can be pinned out: depth above zero in front, below zero behind.

    Slack in front means the arm hangs forward of the sleeve. The depth is r sin(angle), with r
    half the horizontal distance between the pitches. Refuses BadMeasure when deeper than r.
    """
    half_mm = _half_width(depth_mm, pitch_width_mm)
    return math.degrees(math.asin(depth_mm / half_mm))


def hindarm_over_forearm(hang_deg: float, height_mm: float, width_mm: float) -> float:
    """Height of the hindarm over the forearm (mm) on the draft of a sleeve that hangs forward.

    H(t) = h cos t + w sin t, with h and w the upright and horizontal distance from front pitch to
    back pitch on the armhole, and t how far forward of plumb it hangs (Vincent, Part 1, p. 33).
    """
    hang = math.radians(checked_number(hang_deg, "hang"))
    height_mm = checked_number(height_mm, "height between the pitches")
    width_mm = checked_number(width_mm, "distance between the pitches")
    return height_mm * math.cos(hang) + width_mm * math.sin(hang)


def sigma_from_angle(girth_mm: float, sigma_deg: float = 3.0) -> float:
    """Noise of the shift (mm, one sigma) when the angle is read by eye."""
    return shift_from_angle(checked_positive(sigma_deg, "noise of the angle"), girth_mm)


def sigma_from_cuff_offset(
    girth_mm: float,
    offset_mm: float,
    drop_mm: float,
    sigma_offset_mm: float = 5.0,
    sigma_drop_mm: float = 10.0,
) -> float:
    """Noise of the shift (mm, one sigma) when the offset and the drop of the cuff are measured."""
    offset_mm = checked_number(offset_mm, "offset at the cuff")
    drop_mm = checked_positive(drop_mm, "drop to the cuff")
    sigma_offset_mm = checked_positive(sigma_offset_mm, "noise of the offset")
    sigma_drop_mm = checked_positive(sigma_drop_mm, "noise of the drop")
    radius_mm = checked_girth(girth_mm, "armhole girth") / math.tau
    spread = math.hypot(drop_mm * sigma_offset_mm, offset_mm * sigma_drop_mm)
    return radius_mm * spread / (drop_mm**2 + offset_mm**2)


def sigma_from_slack(
    girth_mm: float, depth_mm: float, pitch_width_mm: float, sigma_depth_mm: float = 2.0
) -> float:
    """Noise of the shift (mm, one sigma) when slack is pinned out and its depth measured."""
    half_mm = _half_width(depth_mm, pitch_width_mm)
    sigma_depth_mm = checked_positive(sigma_depth_mm, "noise of the slack")
    radius_mm = checked_girth(girth_mm, "armhole girth") / math.tau
    return radius_mm * sigma_depth_mm / math.sqrt(half_mm**2 - depth_mm**2)


def least_strain_share(height_over_width: float) -> float:
    """Share of the law's shift that left least strain in a simulated armhole so much taller.

    A reading of four points between 1.04 and 1.56, held at the ends; not a law. Print the law's
    value with this as its range; the shop's own experience goes first.
    """
    tallness = checked_positive(height_over_width, "armhole's height over its width")
    return float(np.interp(tallness, _TALLNESS, _SHARE))


def angle_from_back_balance(short_mm: float, width_mm: float) -> float:
    """Degrees by which a back balance short_mm short turns an armhole width_mm wide.

    It imitates wrong pitch, so balance is settled before a sleeve correction is trusted.
    """
    width_mm = checked_positive(width_mm, "width of the armhole")
    if abs(checked_number(short_mm, "back balance")) >= width_mm:
        raise BadMeasure(
            f"A back balance {abs(short_mm):.0f} mm out is more than the armhole is wide "
            f"({width_mm:.0f} mm); check the amount and its unit."
        )
    return math.degrees(math.asin(short_mm / width_mm))


def _half_width(depth_mm: float, pitch_width_mm: float) -> float:
    half_mm = checked_positive(pitch_width_mm, "distance between the pitches") / 2.0
    if abs(checked_number(depth_mm, "depth of the slack")) >= half_mm:
        raise BadMeasure(
            f"Slack {abs(depth_mm):.0f} mm deep is more than half the {pitch_width_mm:.0f} mm "
            "between the pitches can give; pin it again, and look at the sleeve's width."
        )
    return half_mm
