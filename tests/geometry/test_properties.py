"""What must hold for any sleeve and any reading (Sleeve geometry, section 6)."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from patterns.geometry import crown, noise, pitch, section, visibility
from patterns.geometry.armhole import Armhole, Quarter
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.refusals import GeometryRefused, PitchesDoNotFit
from patterns.geometry.section import Section

steady = settings(deadline=None, max_examples=60, derandomize=True)
INCH = 25.4

girths = st.floats(380.0, 620.0)
shifts = st.floats(-60.0, 60.0)
small = st.floats(-25.0, 25.0)
sections = st.builds(
    Section,
    girth_mm=st.floats(250.0, 450.0),
    ratio=st.one_of(st.just(1.0), st.floats(0.7, 1.5)),
)
anything = st.one_of(
    st.floats(),
    st.floats(-1000.0, 1000.0),
    st.floats(20.0, 600.0),
    st.sampled_from([0.0, -0.0, 1.0, 90.0, 480.0, 1e-300, 1e300, 1e-9, 1e9]),
)


def usual_armholes() -> list[Armhole]:
    """Drawn once: from measures, and from marked points uneven as a cutter's are."""
    marks = [(0, 0), (45, 8), (58, 50), (70, 110), (30, 168), (-20, 172), (-62, 110), (-60, 40)]
    return [
        Armhole.from_measures(girth_mm=480.0, pitch_width_mm=140.0, pitch_height_mm=65.0),
        Armhole.from_measures(girth_mm=520.0, pitch_width_mm=150.0, pitch_height_mm=80.0),
        Armhole.from_points(marks),
    ]


ARMHOLES = usual_armholes()
armholes = st.sampled_from(ARMHOLES)


@steady
@given(armhole=armholes, tube=sections, out=small, inward=small)
def test_no_correction_changes_nothing(
    armhole: Armhole, tube: Section, out: float, inward: float
) -> None:
    assert armhole.seat(0.0).front_s_mm == armhole.front_pitch_s_mm
    assert armhole.seat(0.0).back_s_mm == armhole.back_pitch_s_mm
    shifts = section.shifts_for_turn(tube, 0.0, hindarm_out_mm=out, forearm_in_mm=inward)
    assert shifts == (0.0, 0.0)


@steady
@given(armhole=armholes, one=shifts, other=shifts)
def test_shifts_add_for_every_seam_alike(armhole: Armhole, one: float, other: float) -> None:
    whole, part, none = armhole.seat(one + other), armhole.seat(one), armhole.seat()
    for name in ("front_s_mm", "back_s_mm", "crown_s_mm"):
        start, moved = getattr(none, name), getattr(part, name)
        assert moved - start == pytest.approx(one, abs=1e-9)
        assert getattr(whole, name) - moved == pytest.approx(other, abs=1e-9)


@steady
@given(one=shifts, other=shifts, girth=girths)
def test_turns_add_and_come_back(one: float, other: float, girth: float) -> None:
    angles = [pitch.angle_from_shift(s, girth) for s in (one, other, one + other)]
    assert angles[0] + angles[1] == pytest.approx(angles[2], abs=1e-9)
    assert pitch.shift_from_angle(angles[0], girth) == pytest.approx(one, abs=1e-9)


@steady
@given(
    tube=sections, first=st.floats(-8.0, 8.0), second=st.floats(-8.0, 8.0), share=st.floats(0, 1)
)
def test_elbow_turns_add_and_a_turn_and_its_inverse_leave_the_seams(
    tube: Section, first: float, second: float, share: float
) -> None:
    def further(turn: float, out: float, inward: float) -> tuple[float, float]:
        move = section.shifts_for_turn(
            tube, turn, hindarm_out_mm=out, forearm_in_mm=inward, share=share
        )
        return out + move[0], inward + move[1]

    stepwise = further(second, *further(first, 0.0, 0.0))
    assert stepwise == pytest.approx(further(first + second, 0.0, 0.0), abs=1e-6)
    assert further(-first - second, *stepwise) == pytest.approx((0.0, 0.0), abs=1e-6)


@steady
@given(tube=sections, turn=st.floats(-20.0, 20.0), share=st.floats(0.2, 0.8))
def test_shifts_turn_the_elbow_as_far_as_asked(tube: Section, turn: float, share: float) -> None:
    out, inward = section.shifts_for_turn(tube, turn, share=share)
    assert section.elbow_turn(tube, out, inward) == pytest.approx(turn, abs=1e-6)


@steady
@given(out=small, inward=small)
def test_top_and_under_sleeve_stay_constant_together(out: float, inward: float) -> None:
    top, under = section.width_changes(out, inward)
    assert top + under == 0.0
    there, back = section.width_changes(out, inward), section.width_changes(-out, -inward)
    assert (there[0] + back[0], there[1] + back[1]) == (0.0, 0.0)


@steady
@given(
    girth=girths,
    width=st.floats(110.0, 170.0),
    height=st.floats(40.0, 110.0),
    front=st.floats(15.0, 35.0),
)
def test_armhole_has_its_girth_and_pitches_or_is_refused(
    girth: float, width: float, height: float, front: float
) -> None:
    try:
        armhole = Armhole.from_measures(
            girth_mm=girth,
            pitch_width_mm=width,
            pitch_height_mm=height,
            front_pitch_up_mm=front,
        )
    except PitchesDoNotFit:
        return
    corners = armhole.curve.polyline(3000)
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    assert sides.sum() == pytest.approx(girth, rel=1e-5)
    places = armhole.seat()
    across = places.front_point_mm[0] - places.back_point_mm[0]
    assert across == pytest.approx(width, abs=0.01)
    up = places.back_point_mm[1] - places.front_point_mm[1]
    assert up == pytest.approx(height, abs=1e-3)
    assert places.front_point_mm[1] - corners[:, 1].min() == pytest.approx(front, abs=0.05)


@steady
@given(armhole=armholes, shift=shifts)
def test_pitch_room_is_where_both_seams_keep_their_quarters(armhole: Armhole, shift: float) -> None:
    least, most = armhole.pitch_room_mm()
    assume(min(abs(shift - least), abs(shift - most)) > 1e-3)
    places = armhole.seat(shift)
    kept = places.back_quarter is Quarter.UPPER_BACK and places.front_quarter is Quarter.LOWER_FRONT
    assert kept is (least < shift < most)


@steady
@given(armhole=armholes, shift=shifts)
def test_seams_move_continuously_also_over_the_edge_of_a_quarter(
    armhole: Armhole, shift: float
) -> None:
    for edge in (shift, *armhole.pitch_room_mm()):
        here, beyond = armhole.seat(edge - 1e-4), armhole.seat(edge + 1e-4)
        for name in ("front_point_mm", "back_point_mm", "crown_point_mm"):
            assert math.dist(getattr(here, name), getattr(beyond, name)) < 2.1e-4


@steady
@given(
    near=st.floats(-50.0, 50.0), more=st.floats(0.01, 15.0), girth=girths, drop=st.floats(300, 700)
)
def test_every_reading_turns_further_the_larger_it_is(
    near: float, more: float, girth: float, drop: float
) -> None:
    readings: list[Callable[[float], float]] = [
        lambda x: pitch.angle_from_shift(x, girth),
        lambda x: pitch.shift_from_angle(x, girth),
        lambda x: pitch.angle_from_cuff_offset(x, drop),
        lambda x: pitch.angle_from_slack(x, 140.0),
        lambda x: pitch.angle_from_back_balance(x, 140.0),
    ]
    for reading in readings:
        assert reading(near + more) > reading(near)
        assert reading(-near) == pytest.approx(-reading(near), abs=1e-12)


@steady
@given(tube=sections, out=small, inward=small, more=st.floats(0.1, 10.0))
def test_elbow_goes_further_out_with_either_seam(
    tube: Section, out: float, inward: float, more: float
) -> None:
    here = section.elbow_turn(tube, out, inward)
    assert section.elbow_turn(tube, out + more, inward) > here
    assert section.elbow_turn(tube, out, inward + more) > here
    mirrored = section.elbow_turn(tube, -out, -inward)
    assert mirrored == pytest.approx(-here, abs=1e-9)


@steady
@given(
    tube=sections,
    out=st.floats(-70.0, 70.0),
    more=st.floats(0.1, 10.0),
    turn=st.floats(-40.0, 40.0),
)
def test_seam_further_out_shows_more_while_it_rounds_the_back(
    tube: Section, out: float, more: float, turn: float
) -> None:
    shown = visibility.shows_from_side(tube, out, turn)
    width = 2.0 * max(tube.p_mm, tube.q_mm)
    assert -width <= shown <= width
    assume(abs(out) + more + abs(turn) / 360.0 * tube.girth_mm * 1.5 < tube.girth_mm / 2.0)
    assert visibility.shows_from_side(tube, out + more, turn) > shown
    assert visibility.hindarm_for_show(tube, shown, turn) == pytest.approx(out, abs=1e-4)


@steady
@given(girth=st.floats(250.0, 450.0), height=st.floats(1.0, 250.0), more=st.floats(0.01, 20.0))
def test_crown_lift_and_ease_are_monotone_and_come_back(
    girth: float, height: float, more: float
) -> None:
    assert crown.head_length(girth, height + more) > crown.head_length(girth, height) > girth
    assert crown.lift_from_crown(girth, height + more) < crown.lift_from_crown(girth, height)
    lift = crown.lift_from_crown(girth, height)
    assert crown.crown_from_lift(girth, lift) == pytest.approx(height, rel=1e-9)
    ease = crown.head_length(girth, height) - 460.0
    assert crown.crown_for_ease(girth, 460.0, ease) == pytest.approx(height, abs=1e-6)


@steady
@given(tube=sections, bend=st.floats(-40.0, 40.0), a=st.floats(-40, 40), b=st.floats(-40, 40))
def test_bend_and_lengths_come_back(tube: Section, bend: float, a: float, b: float) -> None:
    difference = section.lengths_from_bend(tube, bend, a, b)
    assert section.bend_from_lengths(tube, difference, a, b) == pytest.approx(bend, abs=1e-9)
    assert math.copysign(1.0, difference) == math.copysign(1.0, bend)


@steady
@given(
    girth=st.floats(460.0, 560.0),
    out=small,
    inward=small,
    turn=st.floats(-15.0, 15.0),
    ratio=st.floats(0.7, 1.5),
)
def test_millimetres_and_inches_give_the_same_sleeve(
    girth: float, out: float, inward: float, turn: float, ratio: float
) -> None:
    in_mm = Section(girth_mm=0.75 * girth, ratio=ratio)
    in_inches = Section(girth_mm=0.75 * girth / INCH, ratio=ratio)
    assert section.elbow_turn(in_inches, out / INCH, inward / INCH) == pytest.approx(
        section.elbow_turn(in_mm, out, inward), abs=1e-9
    )
    assert np.multiply(section.shifts_for_turn(in_inches, turn), INCH) == pytest.approx(
        section.shifts_for_turn(in_mm, turn), abs=1e-7
    )
    assert crown.head_length(girth / INCH, 6.0) * INCH == pytest.approx(
        crown.head_length(girth, 6.0 * INCH)
    )
    measures = {"girth_mm": girth, "pitch_width_mm": 130.0, "pitch_height_mm": 60.0}
    mm = Armhole.from_measures(**measures)
    inches = Armhole.from_measures(
        **{name: value / INCH for name, value in measures.items()}, front_pitch_up_mm=25.0 / INCH
    )
    for name in ("front_pitch_s_mm", "back_pitch_s_mm", "height_mm", "width_mm"):
        assert getattr(inches, name) * INCH == pytest.approx(getattr(mm, name), abs=1e-3)


@steady
@given(
    readings=st.lists(
        st.builds(noise.Estimate, st.floats(-50.0, 50.0), st.floats(0.05, 10.0)),
        min_size=1,
        max_size=6,
    ),
    spread=st.floats(0.1, 20.0),
)
def test_readings_together_lie_between_them_and_are_surer_than_the_best(
    readings: list[noise.Estimate], spread: float
) -> None:
    together = noise.combine(readings)
    values = [reading.value for reading in readings]
    assert min(values) - 1e-9 <= together.value <= max(values) + 1e-9
    assert together.sigma <= min(reading.sigma for reading in readings) * (1.0 + 1e-12)
    assert noise.combine(readings[::-1]).value == pytest.approx(together.value, abs=1e-9)
    held = noise.shrink(together, spread)
    assert abs(held.value) <= abs(together.value)
    assert held.sigma <= min(together.sigma, spread) * (1.0 + 1e-12)


SCALAR_LAWS: list[tuple[Callable[..., Any], int]] = [
    (pitch.angle_from_shift, 2),
    (pitch.shift_from_angle, 2),
    (pitch.angle_from_cuff_offset, 2),
    (pitch.angle_from_slack, 2),
    (pitch.hindarm_over_forearm, 3),
    (pitch.sigma_from_angle, 2),
    (pitch.sigma_from_cuff_offset, 5),
    (pitch.sigma_from_slack, 4),
    (pitch.least_strain_share, 1),
    (pitch.angle_from_back_balance, 2),
    (crown.head_length, 2),
    (crown.crown_from_lift, 2),
    (crown.lift_from_crown, 2),
    (crown.crown_for_ease, 3),
    (section.bend_factor, 2),
    (section.flat_to_round_bend, 1),
    (section.iron_for_seam_only, 2),
    (section.width_changes, 2),
    (lambda g, r, x, y: section.elbow_turn(Section(girth_mm=g, ratio=r), x, y), 4),
    (lambda g, r, x: section.shifts_for_turn(Section(girth_mm=g, ratio=r), x), 3),
    (lambda g, r, d, a: section.bend_from_lengths(Section(girth_mm=g, ratio=r), d, a), 4),
    (lambda g, x, y: section.twist_per_mm(x, y, Section(girth_mm=g)), 3),
    (lambda g, r, x: visibility.shows_from_side(Section(girth_mm=g, ratio=r), x), 3),
    (lambda g, r, x: visibility.hindarm_for_show(Section(girth_mm=g, ratio=r), x), 3),
    (lambda v, s: noise.shrink(noise.Estimate(v, s), 2.0).value, 2),
    (lambda x: ARMHOLES[0].seat(x).back_s_mm, 1),
    (lambda x, y: ARMHOLES[2].seat(x, y).back_point_mm, 2),
]


@pytest.mark.parametrize(("law", "arity"), SCALAR_LAWS)
def test_any_numbers_give_a_number_or_a_named_refusal(law: Callable[..., Any], arity: int) -> None:
    @steady
    @given(numbers=st.tuples(*[anything] * arity))
    def holds(numbers: tuple[float, ...]) -> None:
        try:
            answer = law(*numbers)
        except GeometryRefused:
            return
        assert np.all(np.isfinite(answer))

    holds()


@steady
@given(numbers=st.tuples(*[anything] * 4))
def test_any_measures_give_an_armhole_or_a_named_refusal(numbers: tuple[float, ...]) -> None:
    names = ("girth_mm", "pitch_width_mm", "pitch_height_mm", "front_pitch_up_mm")
    try:
        armhole = Armhole.from_measures(**dict(zip(names, numbers, strict=True)))
    except GeometryRefused:
        return
    assert np.all(np.isfinite(armhole.curve.polyline(16)))


@steady
@given(
    points=arrays(
        np.float64,
        st.tuples(st.integers(0, 9), st.just(2)),
        elements=st.one_of(
            st.floats(-100.0, 100.0),
            st.sampled_from([0.0, 50.0, 50.0 + 1e-12, 1e-300, 1e300, math.nan, math.inf]),
        ),
    )
)
def test_any_points_give_a_curve_or_a_named_refusal(points: Any) -> None:
    try:
        curve = ClosedCurve.through(points)
    except GeometryRefused:
        return
    assert curve.length_mm > 0.0
    assert curve.area_mm2 > 0.0
    assert np.all(np.isfinite(curve.polyline(16)))
    assert np.all(np.isfinite(curve.tangent_at(0.3 * curve.length_mm)))
    assert math.isfinite(curve.nearest((1.0, 2.0)))


@steady
@given(
    radii=st.lists(st.floats(40.0, 110.0), min_size=5, max_size=16),
    start=st.floats(-900.0, 900.0),
    turn=st.floats(0.0, 360.0),
)
def test_curve_keeps_its_length_when_turned_moved_or_begun_elsewhere(
    radii: list[float], start: float, turn: float
) -> None:
    way = np.exp(1j * np.arange(len(radii)) * math.tau / len(radii))
    marks = np.array(radii) * way
    try:
        curve = ClosedCurve.through(np.stack([marks.real, marks.imag], axis=1))
    except GeometryRefused:
        assume(False)
    moved = marks * np.exp(1j * math.radians(turn)) + (30.0 - 700.0j)
    other = ClosedCurve.through(np.stack([moved.real, moved.imag], axis=1))
    assert other.length_mm == pytest.approx(curve.length_mm, rel=1e-9)
    assert other.area_mm2 == pytest.approx(curve.area_mm2, rel=1e-9)
    begun = curve.starting_at(start)
    s = begun.nearest(curve.point_at(start + 20.0))
    assert begun.point_at(s) == pytest.approx(curve.point_at(start + 20.0), abs=1e-6)
