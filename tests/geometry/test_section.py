"""Elbow direction against independent integration, a spring model, and what the trade sees."""

import math

import numpy as np
import pytest
import shapely
from scipy import integrate, optimize, special
from scipy.spatial.transform import Rotation

from patterns.geometry.refusals import BadMeasure, GeometryRefused, NoGirth, SeamOutOfQuarter
from patterns.geometry.section import (
    Section,
    bend_factor,
    bend_from_lengths,
    elbow_turn,
    flat_to_round_bend,
    iron_for_seam_only,
    lengths_from_bend,
    shifts_for_turn,
    twist_per_mm,
    width_changes,
)
from patterns.geometry.visibility import shows_from_side

GIRTH = 360.0  # on a round tube 1 mm is 1 degree
ROUND = Section(girth_mm=GIRTH)


class Oval:
    """An ellipse's section made by scipy alone, for comparison."""

    def __init__(self, ratio: float) -> None:
        low, high = min(ratio, 1.0), max(ratio, 1.0)
        unit = 4.0 * high * float(special.ellipe(1.0 - low**2 / high**2))
        self.p, self.q = ratio * GIRTH / unit, GIRTH / unit

    def arc(self, t: float) -> float:
        return self.q * float(special.ellipeinc(t, 1.0 - self.p**2 / self.q**2))

    def parameter(self, u: float) -> float:
        return float(optimize.brentq(lambda t: self.arc(t) - u, -7.0, 14.0, xtol=1e-13))

    def speed(self, t: float) -> float:
        return math.hypot(self.p * math.sin(t), self.q * math.cos(t))

    def normals_direction(self, out: float, inward: float) -> float:
        """Elbow direction from the difference of the seams' normals (good on a round tube only)."""
        normals = []
        for u in (GIRTH / 2.0 - out, -inward):
            t = self.parameter(u)
            n = np.array([self.q * math.cos(t), self.p * math.sin(t)])
            normals.append(n / np.linalg.norm(n))
        x, y = normals[0] - normals[1]
        return math.degrees(math.atan2(y, -x))

    def plane(self, out: float, inward: float, difference: float) -> tuple[float, float]:
        """B = I^-1 integral l (x - xbar) du by scipy.integrate: bend in rad towards x and y."""
        hindarm, forearm = GIRTH / 2.0 - out, -inward
        ends = [self.parameter(u) for u in (forearm, hindarm, forearm + GIRTH)]

        def extra(t: float) -> float:
            u = self.arc(t)
            if u <= hindarm:
                part = (u - forearm) / (hindarm - forearm)
            else:
                part = (forearm + GIRTH - u) / (GIRTH - hindarm + forearm)
            return difference * (part - 0.5)

        bend = []
        for axis, across in ((self.p, math.cos), (self.q, math.sin)):
            top, under = (
                integrate.quad(
                    lambda t, axis=axis, across=across: extra(t) * axis * across(t) * self.speed(t),
                    ends[k],
                    ends[k + 1],
                    epsabs=1e-6,
                )[0]
                for k in (0, 1)
            )
            inertia, _ = integrate.quad(
                lambda t, axis=axis, across=across: (axis * across(t)) ** 2 * self.speed(t),
                0.0,
                math.tau,
            )
            bend.append((top + under) / inertia)
        return bend[0], bend[1]


def springs_elbow_deg(oval: Oval, out: float, inward: float, difference: float) -> float:
    """A stiff ring on 720 springs whose own lengths carry the relief: its turn, by minimising."""
    u = np.arange(720) * GIRTH / 720
    t = np.array([oval.parameter(float(x)) for x in u])
    ring = np.stack([oval.p * np.cos(t), oval.q * np.sin(t), np.zeros_like(t)], axis=1)
    corners = [-inward, GIRTH / 2.0 - out, GIRTH - inward, GIRTH * 1.5 - out]
    relief = np.interp(u, corners, np.array([-0.5, 0.5, -0.5, 0.5]) * difference)

    def strain(
        move: np.ndarray[tuple[int], np.dtype[np.float64]],
    ) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        top = Rotation.from_rotvec([move[0], move[1], 0.0]).apply(ring)
        top[:, 2] += 300.0 + move[2]
        return np.asarray(np.linalg.norm(top - ring, axis=1) - 300.0 - relief)

    turned = optimize.least_squares(strain, np.zeros(3), xtol=1e-14, ftol=1e-14).x
    # A ring turned about (wx, wy) rises by wx y - wy x: the longest side points along (-wy, wx).
    return math.degrees(math.atan2(turned[0], turned[1]))


def test_fifty_fifty_sleeve_bends_straight_forward() -> None:
    """50-50: it folds flat, seams on the folds, no turn (trade practice, no source)."""
    for ratio in (0.8, 1.0, 1.3):
        section = Section(girth_mm=GIRTH, ratio=ratio)
        assert elbow_turn(section, 0.0, 0.0) == pytest.approx(0.0, abs=1e-9)
        assert shifts_for_turn(section, 0.0, hindarm_out_mm=7.0) == (0.0, 0.0)
        hindarm, forearm = section.point_at([GIRTH / 2.0, 0.0])
        assert np.ptp([hindarm[1], forearm[1]]) == pytest.approx(0.0, abs=1e-9)
    assert width_changes(0.0, 0.0) == (0.0, 0.0)


@pytest.mark.parametrize("ratio", [0.5, 0.8, 1.2, 1.4, 3.0])
def test_section_has_exactly_its_girth_and_places_by_scipys_elliptic_integral(
    ratio: float,
) -> None:
    section, oval = Section(girth_mm=GIRTH, ratio=ratio), Oval(ratio)
    assert (section.p_mm, section.q_mm) == pytest.approx((oval.p, oval.q), rel=1e-12)
    for t in (0.4, 1.5, 2.8, 4.4):
        x, y = oval.p * math.cos(t), oval.q * math.sin(t)
        phi = math.degrees(math.atan2(y, x)) % 360.0
        assert section.arc_at(phi) == pytest.approx(oval.arc(t), abs=1e-9)
        assert section.phi_at(oval.arc(t)) == pytest.approx(phi, abs=1e-9)
        assert section.point_at(oval.arc(t)) == pytest.approx([x, y], abs=1e-9)


def test_normal_stands_square_on_the_section_and_points_out() -> None:
    section = Section(girth_mm=GIRTH, ratio=1.4)
    for u in np.linspace(0.0, GIRTH, 30):
        chord = section.point_at(u + 1e-3) - section.point_at(u - 1e-3)
        normal = section.normal_at(u)
        assert np.dot(chord, normal) == pytest.approx(0.0, abs=1e-7)
        assert np.dot(section.point_at(u), normal) > 0.0


@pytest.mark.parametrize(("a", "b"), [(20, 20), (40, 0), (0, 40), (35, -15), (-10, 4)])
def test_round_elbow_turns_by_half_the_sum_of_both_seams(a: float, b: float) -> None:
    """e = (a + b) / 2, also for unlike seams (Sleeve geometry, section 3)."""
    assert elbow_turn(ROUND, a, b) == pytest.approx((a + b) / 2.0, abs=1e-9)


def test_one_seam_alone_turns_the_elbow_half_as_far() -> None:
    assert elbow_turn(ROUND, 20.0, 0.0) == pytest.approx(10.0, abs=1e-9)


@pytest.mark.parametrize(("a", "b"), [(20, 20), (40, 0), (10, 30)])
def test_round_elbow_agrees_with_scipys_plane_and_with_springs(a: float, b: float) -> None:
    """The kink formula against scipy.integrate and a ring on springs, both without kinks."""
    x, y = Oval(1.0).plane(a, b, 20.0)
    assert math.degrees(math.atan2(y, -x)) == pytest.approx(elbow_turn(ROUND, a, b), abs=1e-6)
    springs = springs_elbow_deg(Oval(1.0), a, b, 10.0)
    assert springs == pytest.approx(elbow_turn(ROUND, a, b), abs=0.01)


@pytest.mark.parametrize("ratio", [0.8, 1.2, 1.4])
@pytest.mark.parametrize(("out", "inward"), [(20, 20), (30, 10), (0, 25), (-8, 15)])
def test_oval_elbow_is_scipys_plane_through_the_length_relief(
    ratio: float, out: float, inward: float
) -> None:
    """B = I^-1 integral l (x - xbar) du written with scipy.integrate alone."""
    x, y = Oval(ratio).plane(out, inward, 20.0)
    found = elbow_turn(Section(girth_mm=GIRTH, ratio=ratio), out, inward)
    assert found == pytest.approx(math.degrees(math.atan2(y, -x)), abs=1e-6)


@pytest.mark.parametrize("ratio", [1.2, 1.4])
def test_oval_elbow_turns_as_a_ring_on_springs_does(ratio: float) -> None:
    """Finite turn of a stiff ring on 720 springs, for a small bend; a != b too."""
    section = Section(girth_mm=GIRTH, ratio=ratio)
    for out, inward in ((20.0, 20.0), (30.0, 10.0)):
        springs = springs_elbow_deg(Oval(ratio), out, inward, 5.0)
        assert elbow_turn(section, out, inward) == pytest.approx(springs, abs=0.01)


def test_difference_of_normals_misleads_on_an_oval_by_up_to_seven_degrees() -> None:
    """Sleeve geometry, section 3: normals (by scipy) against the least-squares plane."""
    worst = max(
        abs(
            elbow_turn(Section(girth_mm=GIRTH, ratio=ratio), out, inward)
            - Oval(ratio).normals_direction(out, inward)
        )
        for ratio in (1.2, 1.4)
        for out, inward in ((10, 10), (20, 20), (25, 25), (30, 30), (35, 15))
    )
    assert 5.0 < worst < 8.5


def test_deeper_section_turns_more_for_the_same_millimetres() -> None:
    turns = [elbow_turn(Section(girth_mm=GIRTH, ratio=r), 20, 20) for r in (0.8, 1.0, 1.2, 1.4)]
    assert turns == sorted(turns)
    assert turns[0] < 20.0 < turns[2]


@pytest.mark.parametrize(
    ("ironed", "expected"), [(0.0, 20), (0.25, 15), (0.5, 10), (0.75, 5), (1.0, 0)]
)
def test_share_ironed_back_to_the_fold_takes_its_share_of_the_turn(
    ironed: float, expected: float
) -> None:
    """a = b = 20: 20, 15, 10, 5, 0 to the nearest 0.05 (Sleeve geometry, section 3)."""
    found = elbow_turn(ROUND, 20.0, 20.0, ironed_hindarm=ironed, ironed_forearm=ironed)
    assert found == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize("ratio", [0.8, 1.3])
def test_seam_only_moved_and_ironed_leaves_the_elbow_where_it_was(ratio: float) -> None:
    section = Section(girth_mm=GIRTH, ratio=ratio)
    still = elbow_turn(section, 25.0, 10.0, ironed_hindarm=1.0, ironed_forearm=1.0)
    assert still == pytest.approx(0.0, abs=1e-9)


def test_trade_sees_what_the_seams_do() -> None:
    """Trade practice, no source. Higher hindarm: more visible, elbow further out, wider under
    sleeve. Lower forearm: narrower under sleeve, elbow inward turned. Both: the sum."""
    top, under = width_changes(12.0, 0.0)
    assert under > 0.0 > top
    assert elbow_turn(ROUND, 12.0, 0.0) > 0.0
    assert shows_from_side(ROUND, 12.0) > shows_from_side(ROUND, 6.0) > 0.0
    top, under = width_changes(0.0, 12.0)
    assert top > 0.0 > under
    assert elbow_turn(ROUND, 0.0, 12.0) > 0.0
    assert elbow_turn(ROUND, 12.0, 12.0) > elbow_turn(ROUND, 12.0, 0.0)


def test_round_shifts_follow_the_closed_form_and_its_share() -> None:
    """x_h + x_f = 2 G e / 360: 10 degrees on a girth of 360 are 20 mm in all."""
    assert shifts_for_turn(ROUND, 10.0) == pytest.approx((10.0, 10.0))
    assert shifts_for_turn(ROUND, 10.0, share=0.75) == pytest.approx((15.0, 5.0))
    assert shifts_for_turn(ROUND, -10.0, share=1.0) == pytest.approx((-20.0, 0.0))


@pytest.mark.parametrize("ratio", [0.8, 1.2, 1.4])
@pytest.mark.parametrize("share", [0.0, 0.3, 0.5, 1.0])
def test_oval_shifts_turn_the_elbow_as_far_as_asked_by_scipys_plane(
    ratio: float, share: float
) -> None:
    section, oval = Section(girth_mm=GIRTH, ratio=ratio), Oval(ratio)
    x, y = oval.plane(6.0, 3.0, 20.0)
    before = math.degrees(math.atan2(y, -x))
    out, inward = shifts_for_turn(section, 8.0, hindarm_out_mm=6.0, forearm_in_mm=3.0, share=share)
    x, y = oval.plane(6.0 + out, 3.0 + inward, 20.0)
    assert math.degrees(math.atan2(y, -x)) - before == pytest.approx(8.0, abs=1e-5)
    assert out * (1.0 - share) == pytest.approx(inward * share)


def test_part_ironed_sleeve_needs_larger_shifts() -> None:
    out, inward = shifts_for_turn(ROUND, 10.0, ironed_hindarm=0.5, ironed_forearm=0.5)
    assert out == pytest.approx(inward)
    assert out == pytest.approx(20.0, abs=0.1)


def test_turn_that_no_quarter_holds_is_refused() -> None:
    with pytest.raises(SeamOutOfQuarter, match="turn it less"):
        shifts_for_turn(ROUND, 100.0)
    with pytest.raises(SeamOutOfQuarter, match="turn it less"):
        shifts_for_turn(Section(girth_mm=GIRTH, ratio=1.2), 60.0, share=1.0)
    with pytest.raises(SeamOutOfQuarter, match="re-draft what was ironed"):
        shifts_for_turn(ROUND, 5.0, ironed_hindarm=1.0, ironed_forearm=1.0)
    with pytest.raises(SeamOutOfQuarter, match="move it less"):
        elbow_turn(ROUND, 91.0, 0.0)


@pytest.mark.parametrize("a", [0.0, 15.0, 30.0])
def test_round_bend_is_four_d_over_r_pi_squared_for_equal_shifts(a: float) -> None:
    """Sleeve geometry, section 3; and scipy's plane through the relief gives the same."""
    expected = math.degrees(4.0 * 20.0 / (GIRTH / math.tau * math.pi**2))
    assert bend_from_lengths(ROUND, 20.0, a, a) == pytest.approx(expected, rel=1e-9)
    assert math.degrees(math.hypot(*Oval(1.0).plane(a, a, 20.0))) == pytest.approx(expected)


@pytest.mark.parametrize(("a", "b"), [(0.0, 0.0), (30.0, 5.0), (-10.0, 20.0)])
def test_bend_of_unlike_seams_is_scipys_plane_on_round_and_oval(a: float, b: float) -> None:
    for ratio in (1.0, 1.3):
        section, oval = Section(girth_mm=GIRTH, ratio=ratio), Oval(ratio)
        out, inward = GIRTH / 2.0 - section.arc_at(180.0 - a), -section.arc_at(-b)
        expected = math.degrees(math.hypot(*oval.plane(out, inward, 15.0)))
        assert bend_from_lengths(section, 15.0, a, b) == pytest.approx(expected, rel=1e-6)
        assert lengths_from_bend(section, expected, a, b) == pytest.approx(15.0, rel=1e-6)


def test_bend_factor_is_what_unlike_seams_leave_of_the_bend_at_equal_turning() -> None:
    """Two seams of one radian's turning at a = 40, b = 0, against a = b = 20, by the normals."""
    seams = [(math.radians(180 - a), math.radians(-b)) for a, b in ((40, 0), (20, 20))]
    bends = [math.hypot(math.cos(h) - math.cos(f), math.sin(h) - math.sin(f)) for h, f in seams]
    assert bend_factor(40.0, 0.0) == pytest.approx(bends[0] / bends[1])
    assert bend_factor(25.0, 25.0) == 1.0


def test_flat_fifty_fifty_sleeve_bends_further_once_it_is_round() -> None:
    """Flat, the edges differ by T times the width pi r; round, by scipy's plane: 4 T / pi."""
    for flat in (5.0, 15.0):
        difference = math.radians(flat) * GIRTH / 2.0
        rounded = math.degrees(math.hypot(*Oval(1.0).plane(0.0, 0.0, difference)))
        assert flat_to_round_bend(flat) == pytest.approx(rounded, rel=1e-8)
        assert flat_to_round_bend(flat) == pytest.approx(1.273 * flat, rel=1e-3)


def test_like_pieces_do_not_spiral_and_unlike_ones_do() -> None:
    """4 mm on a girth of 360 over 100 mm: 4/360 rad per radius, 1.11 degrees."""
    assert twist_per_mm(12.0, 12.0, ROUND) == 0.0
    assert 100.0 * twist_per_mm(10.0, 14.0, ROUND) == pytest.approx(1.111, abs=0.001)
    assert twist_per_mm(14.0, 10.0, ROUND) < 0.0


def test_edges_of_a_reflected_strip_differ_by_twice_width_times_turning() -> None:
    """Two arcs drawn 10 mm each side of a fold of radius 400 over 30 degrees, by shapely."""
    turn = np.radians(np.linspace(0.0, 30.0, 3001))
    way = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    edges = [shapely.LineString(way * radius).length for radius in (390.0, 410.0)]
    assert iron_for_seam_only(10.0, 30.0) == pytest.approx(edges[1] - edges[0], rel=1e-6)


@pytest.mark.parametrize(
    ("girth", "ratio", "refusal"),
    [
        (0.0, 1.0, NoGirth),
        (math.nan, 1.0, NoGirth),
        (360.0, 0.0, BadMeasure),
        (360.0, math.nan, BadMeasure),
        (360.0, 1e6, BadMeasure),
    ],
)
def test_tube_without_size_is_refused_by_name(
    girth: float, ratio: float, refusal: type[GeometryRefused]
) -> None:
    with pytest.raises(refusal, match=r"measure it again|give the depth"):
        Section(girth_mm=girth, ratio=ratio)


def test_moves_without_sense_are_refused_by_name() -> None:
    with pytest.raises(BadMeasure, match="give it bend first"):
        elbow_turn(ROUND, 10.0, 10.0, difference_mm=0.0)
    with pytest.raises(BadMeasure, match="between 0 and 1"):
        elbow_turn(ROUND, 10.0, 10.0, ironed_hindarm=1.5)
    with pytest.raises(BadMeasure, match="measure it again"):
        elbow_turn(ROUND, math.nan, 10.0)
    with pytest.raises(BadMeasure, match="between 0 and 1"):
        shifts_for_turn(ROUND, 5.0, share=-0.1)
    with pytest.raises(GeometryRefused, match="part them"):
        elbow_turn(ROUND, 90.0, -90.0)
    with pytest.raises(SeamOutOfQuarter, match="move it less"):
        bend_from_lengths(ROUND, 10.0, 95.0, 0.0)
