"""Pitch against the handbooks' numbers, scipy's elliptic arcs, and plain chance."""

import math
from typing import Any

import numpy as np
import pytest
from scipy import optimize, special

from patterns.geometry import pitch
from patterns.geometry.armhole import Armhole
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.refusals import BadMeasure, GeometryRefused, NoGirth

A, B = 65.0, 84.5  # an armhole's half width and half height: ratio 1.3
GIRTH = 4.0 * B * float(special.ellipe(1.0 - A**2 / B**2))


def oval() -> np.ndarray[Any, np.dtype[np.float64]]:
    t = np.arange(256) * math.tau / 256
    return np.stack([A * np.cos(t), B * np.sin(t)], axis=1)


def arc(t: float) -> float:
    """Arc length of the oval from its front, by scipy's incomplete elliptic integral."""
    return B * float(special.ellipeinc(t, 1.0 - A**2 / B**2))


def test_nothing_read_means_nothing_to_turn() -> None:
    assert pitch.angle_from_shift(0.0, 480.0) == 0.0
    assert pitch.shift_from_angle(0.0, 480.0) == 0.0
    assert pitch.angle_from_cuff_offset(0.0, 600.0) == 0.0
    assert pitch.angle_from_slack(0.0, 140.0) == 0.0
    assert pitch.angle_from_back_balance(0.0, 140.0) == 0.0


@pytest.mark.parametrize("shift", [-20.0, 5.0, 10.0, 20.0])
def test_shift_turns_the_tangent_by_the_law_on_the_mean_of_an_oval(shift: float) -> None:
    """Mean over 4,000 places of the turn of the curve's tangent, on an ellipse of ratio 1.3."""
    curve = ClosedCurve.through(oval())
    s = np.arange(4000) * curve.length_mm / 4000
    before, after = curve.tangent_at(s), curve.tangent_at(s + shift)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turned = np.degrees(np.arctan2(cross, np.sum(before * after, axis=1)))
    assert turned.mean() == pytest.approx(pitch.angle_from_shift(shift, GIRTH), abs=1e-6)
    assert np.ptp(turned) > 0.4 * abs(turned.mean())  # only the mean: locally it is uneven


def test_moving_by_arc_length_is_not_rotating_about_the_centroid() -> None:
    """The trap: a rotation about the middle shifts the notches unevenly, the law evenly.

    Arc lengths by scipy.special.ellipeinc; the two seams differ under a rotation and not by s.
    """
    armhole = Armhole.from_points(oval())
    angle = 6.0
    shift = pitch.shift_from_angle(angle, armhole.girth_mm)
    rotated = []
    for phi in np.radians(np.arange(0.0, 360.0, 5.0)):
        ends = [
            math.atan2(A * math.sin(p), B * math.cos(p)) % math.tau
            for p in (phi, phi + math.radians(angle))
        ]
        rotated.append((arc(ends[1]) - arc(ends[0])) % GIRTH)
    assert max(rotated) > 1.1 * shift
    assert min(rotated) < 0.9 * shift
    before, after = armhole.seat(), armhole.seat(shift)
    for one, other in (
        (before.front_point_mm, after.front_point_mm),
        (before.back_point_mm, after.back_point_mm),
    ):
        ends = [math.atan2(z / B, x / A) % math.tau for x, z in (one, other)]
        assert (arc(ends[1]) - arc(ends[0])) % GIRTH == pytest.approx(shift, abs=2e-3)


def test_a_degree_of_a_usual_armhole_is_a_millimetre_and_a_third() -> None:
    """360 s / G at 480 mm; and 20 mm is the 14 or 15 degrees past which a sleeve is recut
    (Sleeve geometry, section 2)."""
    assert pitch.shift_from_angle(3.0, 480.0) == pytest.approx(4.0)
    assert 14.0 <= pitch.angle_from_shift(20.0, 480.0) <= 15.0


@pytest.mark.parametrize(
    ("hang", "expected"), [(-5, 52.6), (0, 65.0), (5, 77.0), (10, 88.3), (15, 99.0)]
)
def test_hindarm_over_forearm_follows_the_square_rule(hang: float, expected: float) -> None:
    """Vincent, The Cutter's Practical Guide, Part 1, p. 33 (rule); numbers calculated from it for
    h 65 and w 140 mm."""
    assert pitch.hindarm_over_forearm(hang, 65.0, 140.0) == pytest.approx(expected, abs=0.06)


def test_cuff_offset_is_the_angle_of_the_hanging_arm() -> None:
    """numpy's angle of the vector from the armhole to the wrist."""
    for offset in (-80.0, 30.0, 105.0):
        expected = np.degrees(np.angle(complex(600.0, offset)))
        assert pitch.angle_from_cuff_offset(offset, 600.0) == pytest.approx(expected)


def test_slack_in_front_sends_the_cuff_forward_and_slack_behind_back() -> None:
    """Slack f = r sin(theta), solved by scipy.optimize for r = 70 mm."""
    angle = optimize.brentq(lambda t: 70.0 * math.sin(t) - 7.0, 0.0, 1.0)
    assert pitch.angle_from_slack(7.0, 140.0) == pytest.approx(math.degrees(angle))
    assert pitch.angle_from_slack(-7.0, 140.0) == pytest.approx(-math.degrees(angle))


def test_short_back_balance_imitates_wrong_pitch() -> None:
    """10 mm short on an armhole 140 mm wide: 4 degrees, or 6 mm of wrong pitch (a known trap)."""
    angle = pitch.angle_from_back_balance(10.0, 140.0)
    assert angle == pytest.approx(4.0, abs=0.15)
    assert pitch.shift_from_angle(angle, 480.0) == pytest.approx(6.0, abs=0.6)


def test_cuff_is_six_times_surer_than_the_eye() -> None:
    """5 mm at 600 mm gives 0.64 mm, 3 degrees by eye 4 mm, both at a girth of 480 mm."""
    cuff, eye = pitch.sigma_from_cuff_offset(480.0, 0.0, 600.0), pitch.sigma_from_angle(480.0)
    assert cuff == pytest.approx(0.64, abs=0.005)
    assert eye == pytest.approx(4.0, abs=1e-9)
    assert 5.5 < eye / cuff < 7.0


def test_noise_of_cuff_offset_is_what_chance_gives() -> None:
    """200,000 measurements drawn by numpy's generator, angle by arctan."""
    rng = np.random.default_rng(4)
    offset = 90.0 + 5.0 * rng.standard_normal(200_000)
    drop = 600.0 + 10.0 * rng.standard_normal(200_000)
    scatter = np.std(np.arctan2(offset, drop)) / math.tau * 480.0
    assert pitch.sigma_from_cuff_offset(480.0, 90.0, 600.0) == pytest.approx(scatter, rel=0.01)


def test_noise_of_slack_is_what_chance_gives() -> None:
    """200,000 measurements drawn by numpy's generator, angle by arcsin."""
    rng = np.random.default_rng(5)
    depth = 12.0 + 2.0 * rng.standard_normal(200_000)
    scatter = np.std(np.arcsin(depth / 70.0)) / math.tau * 480.0
    assert pitch.sigma_from_slack(480.0, 12.0, 140.0) == pytest.approx(scatter, rel=0.01)


def test_least_strain_share_goes_through_its_four_readings_and_holds_at_the_ends() -> None:
    """Sleeve geometry, section 2: simulated armholes; a reading, not a law."""
    readings = {1.04: 0.995, 1.15: 0.94, 1.31: 0.86, 1.56: 0.72}
    for tallness, share in readings.items():
        assert pitch.least_strain_share(tallness) == pytest.approx(share)
    assert pitch.least_strain_share(0.9) == 0.995
    assert pitch.least_strain_share(3.0) == 0.72
    assert 0.72 < pitch.least_strain_share(1.4) < 0.86


def test_least_strain_share_is_near_half_the_width_over_the_armholes_radius() -> None:
    """Sleeve geometry, section 2: close to half the front-back width over G / 2 pi; G by scipy."""
    for tallness in (1.15, 1.31):
        radius = 4.0 * tallness * float(special.ellipe(1.0 - tallness**-2)) / math.tau
        assert pitch.least_strain_share(tallness) == pytest.approx(1.0 / radius, abs=0.03)


@pytest.mark.parametrize(
    ("call", "refusal"),
    [
        (lambda: pitch.angle_from_shift(5.0, 0.0), NoGirth),
        (lambda: pitch.shift_from_angle(5.0, -1.0), NoGirth),
        (lambda: pitch.angle_from_shift(math.nan, 480.0), BadMeasure),
        (lambda: pitch.angle_from_cuff_offset(30.0, 0.0), BadMeasure),
        (lambda: pitch.angle_from_slack(80.0, 140.0), BadMeasure),
        (lambda: pitch.angle_from_slack(5.0, 0.0), BadMeasure),
        (lambda: pitch.sigma_from_slack(480.0, 70.0, 140.0), BadMeasure),
        (lambda: pitch.sigma_from_cuff_offset(math.nan, 1.0, 600.0), NoGirth),
        (lambda: pitch.hindarm_over_forearm(math.inf, 65.0, 140.0), BadMeasure),
        (lambda: pitch.angle_from_back_balance(200.0, 140.0), BadMeasure),
        (lambda: pitch.least_strain_share(0.0), BadMeasure),
    ],
)
def test_reading_without_sense_is_refused_by_name(call: Any, refusal: type[Exception]) -> None:
    assert issubclass(refusal, GeometryRefused)
    with pytest.raises(refusal, match=r"again|check"):
        call()
