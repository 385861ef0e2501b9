"""The armhole from measures and from points, measured again with scipy and shapely."""

import math

import numpy as np
import pytest
import shapely
from scipy import integrate, special

from patterns.geometry.armhole import Armhole, Quarter
from patterns.geometry.refusals import (
    BadMeasure,
    GeometryRefused,
    NoGirth,
    NotchPastEnd,
    PitchesDoNotFit,
    SeamOutOfQuarter,
)

INCH = 25.4


def usual() -> Armhole:
    return Armhole.from_measures(girth_mm=480.0, pitch_width_mm=140.0, pitch_height_mm=65.0)


def ring(armhole: Armhole) -> shapely.LinearRing:
    return shapely.LinearRing(armhole.curve.polyline(20000))


def crossings(armhole: Armhole, up_mm: float) -> list[float]:
    """x of the outline at a height above its lowest point, by shapely."""
    outline = ring(armhole)
    z = outline.bounds[1] + up_mm
    cut = outline.intersection(shapely.LineString([(-900.0, z), (900.0, z)]))
    return sorted(point.x for point in shapely.get_parts(cut))


def outline_length(a: float, b: float) -> float:
    """Three elliptic quarters (scipy.special.ellipe) and one of exponent 4 (scipy.integrate)."""
    low, high = min(a, b), max(a, b)
    plain = high * float(special.ellipe(1.0 - low**2 / high**2))

    def speed(t: float) -> float:
        # x = a cos t / n, z = b sin t / n with n = (cos^4 + sin^4)^(1/4): the quarter by its angle.
        c, s = math.cos(t), math.sin(t)
        n4 = c**4 + s**4
        rate = (s**3 * c - c**3 * s) / n4
        n = n4**0.25
        return math.hypot(a * (-s - c * rate) / n, b * (c - s * rate) / n)

    hollowed, _ = integrate.quad(speed, 0.0, math.pi / 2.0)
    return 3.0 * plain + hollowed


def test_no_shift_leaves_the_seams_at_the_pitches() -> None:
    armhole = usual()
    places = armhole.seat()
    assert places.front_s_mm == armhole.front_pitch_s_mm
    assert places.back_s_mm == armhole.back_pitch_s_mm
    assert places.crown_s_mm == armhole.crown_s_mm
    places.check_quarters()


def test_usual_measures_give_exactly_their_girth_and_pitches() -> None:
    armhole = usual()
    assert armhole.girth_mm == pytest.approx(480.0, abs=1e-9)
    assert ring(armhole).length == pytest.approx(480.0, abs=1e-3)
    front, back = crossings(armhole, 25.0)[1], crossings(armhole, 90.0)[0]
    assert front - back == pytest.approx(140.0, abs=2e-3)
    assert armhole.pitch_width_mm == pytest.approx(140.0, abs=2e-3)
    assert armhole.pitch_height_mm == pytest.approx(65.0, abs=1e-6)


def test_outline_has_the_length_scipy_gives_its_quarters() -> None:
    armhole = usual()
    length = outline_length(armhole.width_mm / 2.0, armhole.height_mm / 2.0)
    assert length == pytest.approx(480.0, abs=0.01)


def test_lower_front_is_hollowed_because_it_stands_nearly_upright_above_the_pitch() -> None:
    """Superellipse of exponent 4 in front, plain ellipse behind, at the same heights."""
    armhole = usual()
    a, b = armhole.width_mm / 2.0, armhole.height_mm / 2.0
    for up in (10.0, 25.0, 50.0):
        behind, ahead = crossings(armhole, up)
        assert ahead == pytest.approx(a * (1.0 - (1.0 - up / b) ** 4) ** 0.25, abs=0.01)
        assert -behind == pytest.approx(a * math.sqrt(1.0 - (1.0 - up / b) ** 2), abs=0.01)


def test_usual_armhole_is_taller_than_wide_and_seats_both_seams_in_their_quarters() -> None:
    armhole = usual()
    assert armhole.height_mm > armhole.width_mm
    assert armhole.quarter_at(armhole.front_pitch_s_mm) is Quarter.LOWER_FRONT
    assert armhole.quarter_at(armhole.back_pitch_s_mm) is Quarter.UPPER_BACK


@pytest.mark.parametrize("girth", [440.0, 480.0, 520.0, 560.0])
@pytest.mark.parametrize("width", [125.0, 140.0, 160.0])
@pytest.mark.parametrize("height", [45.0, 65.0, 85.0, 100.0])
def test_measures_give_their_own_armhole_or_a_refusal_that_names_the_least_girth(
    girth: float, width: float, height: float
) -> None:
    measures = {"pitch_width_mm": width, "pitch_height_mm": height}
    try:
        armhole = Armhole.from_measures(girth_mm=girth, **measures)
    except PitchesDoNotFit as refusal:
        least = float(str(refusal).split("the least is ")[1].split(" mm")[0])
        assert least > girth
        assert Armhole.from_measures(girth_mm=least, **measures).girth_mm == pytest.approx(least)
        with pytest.raises(PitchesDoNotFit):
            Armhole.from_measures(girth_mm=least - 1.0, **measures)
        return
    assert ring(armhole).length == pytest.approx(girth, abs=1e-3)
    front, back = crossings(armhole, 25.0)[-1], crossings(armhole, 25.0 + height)[0]
    assert front - back == pytest.approx(width, abs=2e-3)


def test_most_armholes_of_the_trade_can_be_drawn() -> None:
    """Girth 480 to 560 with pitches 140 apart and 45 to 85 in height: none is refused."""
    for girth in (480.0, 520.0, 560.0):
        for height in (45.0, 65.0, 85.0):
            Armhole.from_measures(girth_mm=girth, pitch_width_mm=140.0, pitch_height_mm=height)


def test_american_garment_cutter_diagram_75_arcs_come_out() -> None:
    """Girth 19 in, front notch 1 in and back notch 4 3/4 in above the breast line: lower arc
    9 3/4 in, upper 9 1/4 in (The American Garment Cutter, diagram 75). The source prints no width:
    129.4 mm between the pitches gives its arcs to 1/32 in; 130 mm, the least of the usual 130 to
    150 mm (Sleeve geometry, section 2), to 1/8 in; 126 mm only to 3/8 in. Its front notch is
    measured on the curve, ours upright."""
    for width, tolerance in ((129.4, 1 / 32), (130.0, 1 / 8), (126.0, 3 / 8)):
        armhole = Armhole.from_measures(
            girth_mm=19.0 * INCH,
            pitch_width_mm=width,
            pitch_height_mm=3.75 * INCH,
            front_pitch_up_mm=1.0 * INCH,
        )
        upper = armhole.back_pitch_s_mm - armhole.front_pitch_s_mm
        assert upper == pytest.approx(9.25 * INCH, abs=tolerance * INCH)
        assert armhole.girth_mm - upper == pytest.approx(9.75 * INCH, abs=tolerance * INCH)


def test_back_pitch_stands_a_quarter_of_the_girth_up_unless_told() -> None:
    """The American Garment Cutter, diagram 75: 4 3/4 in for a girth of 19 in."""
    points = usual().curve.polyline(80) * (19.0 * INCH / 480.0)
    armhole = Armhole.from_points(points)
    back = armhole.curve.point_at(armhole.back_pitch_s_mm)
    assert back[1] - ring(armhole).bounds[1] == pytest.approx(4.75 * INCH, abs=0.05)
    assert back[0] == pytest.approx(crossings(armhole, 4.75 * INCH)[0], abs=0.05)


def test_default_front_pitch_lies_between_two_printed_rules_nearer_the_later() -> None:
    """Vincent, Part 1, p. 33: 3/4 in (19 mm); The American Garment Cutter, diagram 75: 1 in. The
    default is 25 mm, 0.4 mm under the latter and 6 mm over the former: a documented choice."""
    front = usual().curve.point_at(usual().front_pitch_s_mm)
    up = front[1] - ring(usual()).bounds[1]
    assert up == pytest.approx(INCH, abs=0.5)
    assert 5.5 < up - 0.75 * INCH < 6.5


def test_points_in_either_order_round_give_the_same_armhole() -> None:
    points = usual().curve.polyline(60)
    one, other = Armhole.from_points(points), Armhole.from_points(points[::-1])
    for armhole in (one, other):
        assert armhole.curve.point_at(armhole.front_pitch_s_mm)[0] > 0.0
        assert armhole.curve.point_at(armhole.back_pitch_s_mm)[0] < 0.0
    assert other.front_pitch_s_mm == pytest.approx(one.front_pitch_s_mm, abs=1e-6)
    assert other.back_pitch_s_mm == pytest.approx(one.back_pitch_s_mm, abs=1e-6)


def test_cuff_forward_sends_forearm_up_the_front_hindarm_down_the_back_crown_back() -> None:
    """Sleeve geometry, section 2: the same act, said three ways."""
    armhole = usual()
    before, after = armhole.seat(), armhole.seat(8.0)
    assert after.front_point_mm[1] > before.front_point_mm[1]
    assert after.back_point_mm[1] < before.back_point_mm[1]
    assert after.crown_point_mm[0] < before.crown_point_mm[0]


def test_hindarm_out_goes_up_the_back_and_forearm_in_goes_down_the_front() -> None:
    armhole = usual()
    before = armhole.seat()
    after = armhole.seat(hindarm_out_mm=12.0, forearm_in_mm=10.0)
    assert after.back_point_mm[1] > before.back_point_mm[1]
    assert after.front_point_mm[1] < before.front_point_mm[1]
    assert after.crown_s_mm == before.crown_s_mm


def test_shift_is_walked_along_the_armhole_as_shapely_measures_it() -> None:
    armhole, outline = usual(), ring(usual())
    before, after = armhole.seat(), armhole.seat(9.0)
    for one, other in (
        (before.front_point_mm, after.front_point_mm),
        (before.back_point_mm, after.back_point_mm),
        (before.crown_point_mm, after.crown_point_mm),
    ):
        walked = outline.project(shapely.Point(other)) - outline.project(shapely.Point(one))
        assert walked == pytest.approx(9.0, abs=2e-3)


def test_pitch_room_ends_where_a_seam_meets_the_middle_of_the_armhole() -> None:
    armhole = usual()
    least, most = armhole.pitch_room_mm()
    assert least < 0.0 < most
    left, low, right, high = ring(armhole).bounds
    for shift in (least, most):
        places = armhole.seat(shift)
        gaps = [
            min(abs(x - (left + right) / 2.0), abs(z - (low + high) / 2.0))
            for x, z in (places.front_point_mm, places.back_point_mm)
        ]
        assert min(gaps) == pytest.approx(0.0, abs=2e-3)
        armhole.seat(shift * 0.999).check_quarters()
        with pytest.raises(SeamOutOfQuarter, match="recut"):
            armhole.seat(shift * 1.001).check_quarters()


def test_pitch_has_no_room_when_the_hindarm_stands_too_low_already() -> None:
    armhole = Armhole.from_measures(girth_mm=560.0, pitch_width_mm=140.0, pitch_height_mm=45.0)
    assert armhole.quarter_at(armhole.back_pitch_s_mm) is Quarter.LOWER_BACK
    assert armhole.pitch_room_mm() == (0.0, 0.0)
    with pytest.raises(SeamOutOfQuarter, match="lower back"):
        armhole.seat().check_quarters()


def test_quarters_are_those_of_the_middle_lines() -> None:
    armhole = usual()
    left, low, right, high = ring(armhole).bounds
    names = {
        (True, True): Quarter.UPPER_FRONT,
        (True, False): Quarter.UPPER_BACK,
        (False, True): Quarter.LOWER_FRONT,
        (False, False): Quarter.LOWER_BACK,
    }
    for s in np.linspace(1.0, 479.0, 60):
        x, z = armhole.curve.point_at(s)
        expected = names[bool(z > (low + high) / 2.0), bool(x > (left + right) / 2.0)]
        assert armhole.quarter_at(s) is expected


@pytest.mark.parametrize(
    ("girth", "width", "height", "front", "refusal"),
    [
        (0.0, 140.0, 65.0, 25.0, NoGirth),
        (math.nan, 140.0, 65.0, 25.0, NoGirth),
        (-480.0, 140.0, 65.0, 25.0, NoGirth),
        (480.0, math.inf, 65.0, 25.0, BadMeasure),
        (480.0, 140.0, 0.0, 25.0, BadMeasure),
        (480.0, 140.0, 65.0, -1.0, BadMeasure),
        (480.0, 230.0, 65.0, 25.0, PitchesDoNotFit),
        (480.0, 140.0, 400.0, 25.0, PitchesDoNotFit),
    ],
)
def test_measures_without_sense_are_refused_by_name(
    girth: float, width: float, height: float, front: float, refusal: type[GeometryRefused]
) -> None:
    with pytest.raises(refusal, match=r"easure"):
        Armhole.from_measures(
            girth_mm=girth,
            pitch_width_mm=width,
            pitch_height_mm=height,
            front_pitch_up_mm=front,
        )


def test_refusal_says_the_numbers_and_what_to_do() -> None:
    with pytest.raises(PitchesDoNotFit) as refused:
        Armhole.from_measures(girth_mm=420.0, pitch_width_mm=170.0, pitch_height_mm=65.0)
    for words in ("420 mm is too small", "170 mm", "the least is", "Measure girth and pitches"):
        assert words in str(refused.value)


def test_pitch_above_the_top_of_drawn_points_is_refused() -> None:
    points = usual().curve.polyline(60)
    with pytest.raises(PitchesDoNotFit, match="over the top"):
        Armhole.from_points(points, back_pitch_up_mm=400.0)
    with pytest.raises(BadMeasure, match="measure it again"):
        Armhole.from_points(points, back_pitch_up_mm=math.nan)


def test_notch_more_than_half_way_round_is_refused() -> None:
    with pytest.raises(NotchPastEnd, match="check the amount"):
        usual().seat(241.0)
    with pytest.raises(BadMeasure, match="measure it again"):
        usual().seat(math.nan)
