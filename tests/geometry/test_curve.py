"""The closed curve against the ellipse (scipy), against shapely and against fontTools."""

import math

import numpy as np
import pytest
import shapely
from fontTools.misc.bezierTools import calcCubicArcLength, calcCubicBounds
from fontTools.pens.areaPen import AreaPen
from numpy.typing import NDArray
from scipy import integrate, special

from patterns.geometry.curve import ClosedCurve
from patterns.geometry.refusals import BadPoints, NoGirth, SelfCrossing

A, B = 65.0, 84.5  # half width and half height in mm, as an armhole: ratio 1.3


def ellipse(n: int, *, a: float = A, b: float = B) -> NDArray[np.float64]:
    t = np.arange(n) * math.tau / n
    return np.stack([a * np.cos(t), b * np.sin(t)], axis=1)


def ellipse_arc(t: float) -> float:
    """Arc length of the ellipse from the front to parameter t, from scipy's elliptic integral."""
    return B * float(special.ellipeinc(t, 1.0 - A**2 / B**2))


@pytest.fixture(scope="module")
def curve() -> ClosedCurve:
    return ClosedCurve.through(ellipse(256))


@pytest.fixture(scope="module")
def bean() -> ClosedCurve:
    """An uneven, hollowed outline of few points, as a cutter would mark it."""
    return ClosedCurve.through(
        [(0, 0), (45, 8), (58, 50), (70, 110), (30, 168), (-20, 172), (-62, 110), (-60, 40)]
    )


def test_curve_passes_through_its_points_and_wraps_at_its_length(bean: ClosedCurve) -> None:
    for point in bean.points_mm:
        assert bean.point_at(bean.nearest(point)) == pytest.approx(point, abs=1e-6)
    beyond = np.array([-30.0, 0.0, 12.5]) + bean.length_mm
    assert bean.point_at(beyond) == pytest.approx(bean.point_at(beyond - bean.length_mm), abs=1e-9)


def test_length_equals_scipys_complete_elliptic_integral(curve: ClosedCurve) -> None:
    exact = 4.0 * B * float(special.ellipe(1.0 - A**2 / B**2))
    assert curve.length_mm == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize("t", [0.3, math.pi / 2, 2.2, math.pi, 4.0, 3 * math.pi / 2, 6.0])
def test_arcs_equal_scipys_incomplete_elliptic_integral(curve: ClosedCurve, t: float) -> None:
    s = curve.nearest((A * math.cos(t), B * math.sin(t)))
    assert s == pytest.approx(ellipse_arc(t), abs=2e-4)
    assert curve.point_at(ellipse_arc(t)) == pytest.approx(
        [A * math.cos(t), B * math.sin(t)], abs=2e-4
    )


def test_quarter_arc_equals_scipys_quadrature(curve: ClosedCurve) -> None:
    exact, _ = integrate.quad(
        lambda t: math.hypot(A * math.sin(t), B * math.cos(t)), 0.0, math.pi / 2
    )
    assert curve.nearest((0.0, B)) == pytest.approx(exact, rel=1e-6)


def test_arc_length_is_walked_evenly_because_sewing_goes_by_length(bean: ClosedCurve) -> None:
    """scipy's quadrature of the speed measured by differences along the returned points."""

    def speed(s: float) -> float:
        ahead, behind = bean.point_at(s + 1e-4), bean.point_at(s - 1e-4)
        return float(np.linalg.norm(ahead - behind)) / 2e-4

    for start, end in ((0.0, 40.0), (100.0, 333.0)):
        walked, _ = integrate.quad(speed, start, end, limit=200)
        assert walked == pytest.approx(end - start, rel=1e-6)


def test_tangent_is_the_ellipses_own(curve: ClosedCurve) -> None:
    for t in (0.2, 1.3, 2.9, 5.0):
        along = np.array([-A * math.sin(t), B * math.cos(t)])
        expected = along / np.linalg.norm(along)
        assert curve.tangent_at(ellipse_arc(t)) == pytest.approx(expected, abs=1e-4)


def test_bezier_spans_have_the_length_fonttools_measures(bean: ClosedCurve) -> None:
    spans = [[tuple(p) for p in span] for span in bean.beziers()]
    total = sum(calcCubicArcLength(*span, tolerance=1e-7) for span in spans)
    assert bean.length_mm == pytest.approx(total, rel=1e-6)


def test_bounds_are_those_fonttools_finds_on_the_spans(bean: ClosedCurve) -> None:
    boxes = np.array([calcCubicBounds(*[tuple(p) for p in span]) for span in bean.beziers()])
    expected = (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
    assert bean.bounds_mm == pytest.approx(expected, abs=1e-9)
    assert bean.bounds_mm[2] > bean.points_mm[:, 0].max()  # the curve bulges past its points


def test_area_is_what_fonttools_and_shapely_measure(bean: ClosedCurve) -> None:
    pen = AreaPen()
    spans = [[tuple(p) for p in span] for span in bean.beziers()]
    pen.moveTo(spans[0][0])
    for span in spans:
        pen.curveTo(*span[1:])
    pen.closePath()
    assert bean.signed_area_mm2 == pytest.approx(pen.value, rel=1e-12)
    assert bean.area_mm2 == pytest.approx(shapely.Polygon(bean.polyline(4000)).area, rel=1e-5)
    backwards = ClosedCurve.through(bean.points_mm[::-1])
    assert backwards.signed_area_mm2 == pytest.approx(-pen.value, rel=1e-9)
    assert backwards.area_mm2 > 0.0


def test_area_of_the_ellipse_is_pi_a_b(curve: ClosedCurve) -> None:
    assert curve.area_mm2 == pytest.approx(math.pi * A * B, rel=1e-7)


def test_left_of_the_tangent_is_inside_by_shapely_when_the_area_is_above_zero(
    bean: ClosedCurve,
) -> None:
    body = shapely.Polygon(bean.polyline(4000))
    for s in np.linspace(0.0, bean.length_mm, 25):
        x, z = bean.tangent_at(s)
        left = np.array([-z, x])
        assert body.contains(shapely.Point(bean.point_at(s) + left))
        assert not body.contains(shapely.Point(bean.point_at(s) - left))


def test_nearest_is_as_near_as_shapely_finds(bean: ClosedCurve) -> None:
    ring = shapely.LinearRing(bean.polyline(8000))
    for aim in [(0.0, 80.0), (90.0, 40.0), (-10.0, -30.0), (60.0, 80.0), (5.0, 150.0)]:
        reached = bean.point_at(bean.nearest(aim))
        gap = float(np.linalg.norm(reached - aim))
        assert gap == pytest.approx(shapely.Point(aim).distance(ring), abs=1e-3)


def test_height_crossings_are_where_shapely_cuts_the_outline(bean: ClosedCurve) -> None:
    ring = shapely.LinearRing(bean.polyline(20000))
    for z in (12.0, 50.0, 101.0, 165.0):
        line = shapely.LineString([(-500.0, z), (500.0, z)])
        expected = sorted(point.x for point in shapely.get_parts(ring.intersection(line)))
        found = sorted(bean.point_at(s)[0] for s in bean.at_height(z))
        assert found == pytest.approx(expected, abs=1e-3)
    assert bean.at_height(500.0) == ()


def test_top_of_the_curve_is_touched_once(curve: ClosedCurve) -> None:
    assert len(curve.at_height(curve.bounds_mm[3])) == 1
    assert curve.at_width(0.0) == pytest.approx(
        [ellipse_arc(math.pi / 2), ellipse_arc(3 * math.pi / 2)], abs=1e-3
    )


def test_starting_elsewhere_moves_only_the_zero(bean: ClosedCurve) -> None:
    moved = bean.starting_at(70.0)
    assert moved.length_mm == bean.length_mm
    assert moved.point_at(5.0) == pytest.approx(bean.point_at(75.0), abs=1e-9)
    assert moved.nearest(bean.point_at(70.0)) % bean.length_mm == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("points", "refusal"),
    [
        ([(0, 0), (1, 0), (1, 1)], BadPoints),
        ([(0, 0), (1, 0), (1, 1), (0, 0)], BadPoints),
        ([(5, 5)] * 9, BadPoints),
        ([], BadPoints),
        ([(0, 0, 0)] * 5, BadPoints),
        ([(0, 0), (1, 0), (1, math.nan), (0, 1)], BadPoints),
        ([(0, 0), (1, 0), (1, math.inf), (0, 1)], BadPoints),
        ([(0, 0), (1e9, 0), (1, 1), (0, 1)], BadPoints),
        ([(0, 0), (10, 0), (20, 0), (30, 0), (15, 0)], NoGirth),
        ([(0, 0), (100, 100), (100, 0), (0, 100)], SelfCrossing),
        ([(0, 0), (100, 0), (100, 100), (50, -30), (0, 100)], SelfCrossing),
    ],
)
def test_outline_without_sense_is_refused_by_name(
    points: list[tuple[float, ...]], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal, match=r"[;,] "):
        ClosedCurve.through(points)


def test_closing_point_given_twice_changes_nothing() -> None:
    open_ring = ellipse(12)
    closed_ring = np.vstack([open_ring, open_ring[:1]])
    once, twice = ClosedCurve.through(open_ring), ClosedCurve.through(closed_ring)
    assert twice.polyline(50) == pytest.approx(once.polyline(50), abs=1e-12)


def test_nearest_refuses_a_point_without_a_place(curve: ClosedCurve) -> None:
    with pytest.raises(BadPoints, match="mark it again"):
        curve.nearest((math.nan, 0.0))
    with pytest.raises(BadPoints, match="mark it again"):
        curve.point_at([0.0, math.nan])
