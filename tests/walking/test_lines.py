"""What the lengths are measured with, against scipy and shapely."""

from math import hypot
from typing import Any

import numpy as np
import pytest
from scipy import integrate, interpolate
from shapely import LineString, Point

from patterns.geometry.curve import ClosedCurve
from patterns.geometry.sleeve import Girths, Levels
from patterns.geometry.spline import closed_cubics
from tests.walking.spoiled import (
    ARMHOLE,
    drafted,
)


def test_place_along_a_line_is_where_scipys_quadrature_puts_it() -> None:
    edge = drafted(hindarm_shift_mm=Levels(head=5, elbow=15, cuff=10)).top.hindarm

    def speed(t: float) -> float:
        ahead, behind = edge.point(t + 1e-6), edge.point(t - 1e-6)
        return float(hypot(*(ahead - behind))) / 2e-6

    for wanted in (20.0, 150.0, 333.3):
        place = edge.place_at(wanted)
        walked_mm = sum(
            integrate.quad(speed, low + 1e-6, min(low + 1, place) - 1e-6)[0]
            for low in range(int(place) + 1)
        )
        assert walked_mm == pytest.approx(wanted, abs=1e-3)


def test_nearest_place_on_a_line_is_as_near_as_shapely_finds() -> None:
    head = drafted().top.head
    ring = LineString(head.polyline(4000))
    for aim in ((0, -20), (-90, 60), (30, 40), (200, 200), (60, 5)):
        reached = head.point(head.nearest(aim))
        assert hypot(*(reached - aim)) == pytest.approx(Point(aim).distance(ring), abs=1e-4)


def test_seam_running_across_the_sleeve_is_refused() -> None:
    short: dict[str, Any] = {
        "girth_mm": Girths(biceps=400, elbow=400, cuff=400),
        "length_mm": 330,
        "elbow_mm": 483 / 3 + 45,
        "hindarm_shift_mm": Levels(head=75, elbow=-75, cuff=-75),
        "forearm_shift_mm": Levels(head=-75, elbow=75, cuff=75),
    }
    with pytest.raises(ValueError, match="move it more evenly"):
        drafted(**short)


@pytest.mark.parametrize("count", [4, 5, 9, 60])
def test_closed_spline_is_scipys_periodic_cubic(count: int) -> None:
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    radius = 60 + 15 * np.sin(2 * turn) + 5 * np.cos(3 * turn)
    points = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    knots, cubics = closed_cubics(points)
    closed = np.vstack([points, points[:1]])
    chords = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))))
    scipys = interpolate.CubicSpline(chords, closed, bc_type="periodic")
    assert knots == pytest.approx(chords)
    assert cubics[:, ::-1].transpose(1, 0, 2) == pytest.approx(scipys.c, abs=1e-9)


def test_curve_drawn_larger_keeps_its_shape() -> None:
    points = ARMHOLE.curve.polyline(40)
    curve = ClosedCurve.through(points).starting_at(30)
    larger = curve.scaled(1.5)
    again = ClosedCurve.through(points * 1.5)
    assert larger.length_mm == pytest.approx(again.length_mm)
    assert larger.bounds_mm == pytest.approx(again.bounds_mm)
    assert larger.point_at(45) == pytest.approx(1.5 * curve.point_at(30))
