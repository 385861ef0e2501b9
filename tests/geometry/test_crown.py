"""Crown, lift and ease against scipy's ellipse, the drawn head line, and unrelated rules."""

import math

import pytest
from scipy import integrate, special

from patterns.geometry.crown import crown_for_ease, crown_from_lift, head_length, lift_from_crown
from patterns.geometry.ellipse import perimeter
from patterns.geometry.refusals import BadMeasure, NoGirth, SleeveWiderThanHead


def test_head_without_a_crown_is_the_sleeves_own_girth() -> None:
    assert head_length(380.0, 0.0) == pytest.approx(380.0, rel=1e-12)
    assert crown_for_ease(380.0, 380.0, 0.0) == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize(
    ("girth", "height", "expected"), [(380.0, 160.0, 512.8), (325.0, 145.8, 451.2)]
)
def test_head_line_of_a_plane_cut_tube(girth: float, height: float, expected: float) -> None:
    """Calculated check values: perimeter of the cut ellipse."""
    assert head_length(girth, height) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize("height", [1e-3, 60.0, 160.0, 2000.0])
def test_head_line_is_scipys_perimeter_and_the_drawn_sinusoids_length(height: float) -> None:
    """scipy.special.ellipe; and scipy.integrate along the flat head z = H/2 cos(x / r)."""
    radius = 380.0 / math.tau
    long = math.hypot(radius, height / 2.0)
    exact = 4.0 * long * float(special.ellipe(1.0 - radius**2 / long**2))
    drawn, _ = integrate.quad(
        lambda x: math.hypot(1.0, height / 2.0 / radius * math.sin(x / radius)),
        0.0,
        radius * math.pi,
        limit=200,
    )
    assert head_length(380.0, height) == pytest.approx(exact, rel=1e-10)
    assert head_length(380.0, height) == pytest.approx(2.0 * drawn, rel=1e-8)


@pytest.mark.parametrize(("a", "b"), [(1.0, 1.0), (3.0, 1.0), (1.0, 500.0), (1.0, 0.0)])
def test_perimeter_is_scipys_either_way_round(a: float, b: float) -> None:
    low, high = min(a, b), max(a, b)
    exact = 4.0 * high * float(special.ellipe(1.0 - (low / high) ** 2))
    assert perimeter(a, b) == pytest.approx(exact, rel=1e-12)


@pytest.mark.parametrize("lift", [15.0, 35.0, 60.0])
def test_crown_of_a_lift_is_the_tubes_cut_at_that_angle(lift: float) -> None:
    """A plane at the lift cuts a round tube in an ellipse r by r / sin(lift): scipy's perimeter."""
    radius = 380.0 / math.tau
    long = radius / math.sin(math.radians(lift))
    exact = 4.0 * long * float(special.ellipe(1.0 - radius**2 / long**2))
    assert head_length(380.0, crown_from_lift(380.0, lift)) == pytest.approx(exact, rel=1e-9)


def test_sleeve_straight_out_has_no_crown_and_no_crown_stands_straight_out() -> None:
    assert crown_from_lift(380.0, 90.0) == 0.0
    assert lift_from_crown(380.0, 0.0) == pytest.approx(90.0)


def test_higher_crown_hangs_closer_and_wider_sleeve_lifts_more() -> None:
    assert lift_from_crown(380.0, 170.0) < lift_from_crown(380.0, 150.0)
    assert lift_from_crown(400.0, 150.0) > lift_from_crown(380.0, 150.0)
    assert head_length(380.0, 170.0) > head_length(380.0, 150.0)


def test_three_unrelated_rules_meet_in_the_usual_ease() -> None:
    """Armhole 483 mm, crown a third of it (Aldrich, from memory), chord half of it + 9 mm (Japanese
    drafting course): half width 192, tube 384; head 34 mm over the armhole, 7 % (usual 6 to 9 %:
    trade practice, no source)."""
    armhole = 483.0
    crown = armhole / 3.0
    tube = 2.0 * math.sqrt((armhole / 2.0 + 9.0) ** 2 - crown**2)
    assert tube == pytest.approx(384.0, abs=1.0)
    assert head_length(tube, crown) - armhole == pytest.approx(34.0, abs=1.0)
    assert 1.06 < head_length(tube, crown) / armhole < 1.09
    assert crown_for_ease(tube, armhole, 34.0) == pytest.approx(crown, abs=1.0)


def test_sleeve_wider_than_its_head_is_refused() -> None:
    with pytest.raises(SleeveWiderThanHead, match="narrow the sleeve"):
        crown_for_ease(500.0, 460.0, 30.0)


def test_crown_without_sense_is_refused_by_name() -> None:
    with pytest.raises(NoGirth, match="measure it again"):
        head_length(0.0, 160.0)
    with pytest.raises(NoGirth, match="measure it again"):
        crown_for_ease(380.0, math.nan, 30.0)
    for call in (
        lambda: head_length(380.0, -1.0),
        lambda: head_length(380.0, math.nan),
        lambda: crown_from_lift(380.0, 0.0),
        lambda: crown_from_lift(380.0, 91.0),
        lambda: lift_from_crown(380.0, -1.0),
        lambda: crown_for_ease(380.0, 480.0, math.nan),
        lambda: crown_for_ease(380.0, 480.0, -600.0),
    ):
        with pytest.raises(BadMeasure, match=r"measure it|lies between"):
            call()
