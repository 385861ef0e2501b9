"""A photograph flattened: against a camera of known place, projected by OpenCV."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString

from patterns.geometry.flatten import Distances, Flattening, Placed, homography
from patterns.geometry.refusals import BadMeasure, BadPoints
from tests.bringing.camera import Camera

RECTANGLE = np.array([(0.0, 0.0), (800.0, 0.0), (800.0, 1000.0), (0.0, 1000.0)])
SIZE = Distances(first_second=800.0, second_third=1000.0)


def distances(marks: np.ndarray, *, six: bool = True) -> Distances:
    def far(i: int, j: int) -> float:
        return float(np.hypot(*(marks[j] - marks[i])))

    diagonals = {"first_third": far(0, 2), "second_fourth": far(1, 3)}
    return Distances(
        first_second=far(0, 1),
        second_third=far(1, 2),
        third_fourth=far(2, 3),
        fourth_first=far(3, 0),
        **(diagonals if six else {"first_third": far(0, 2)}),
    )


def test_a_picture_taken_straight_from_above_is_only_scaled() -> None:
    camera = Camera(tilt_deg=0.0, roll_deg=0.0)
    flat = Flattening.by(camera.pixels(RECTANGLE), SIZE)
    here = camera.pixels([(100.0, 200.0), (700.0, 200.0)])
    assert flat.distance_mm(*here) == pytest.approx(600.0, abs=1e-6)
    assert flat.sigma_mm(here[0]) == pytest.approx(0.7, abs=0.4)  # 1500/2400 mm a pixel


@settings(deadline=None, max_examples=60, derandomize=True)
@given(
    tilt=st.floats(-45, 45),
    roll=st.floats(-180, 180),
    height=st.floats(1200, 3000),
    x=st.floats(0, 800),
    y=st.floats(0, 1000),
)
def test_points_come_back_from_any_camera(
    tilt: float, roll: float, height: float, x: float, y: float
) -> None:
    camera = Camera(tilt_deg=tilt, roll_deg=roll, height_mm=height)
    flat = Flattening.by(camera.pixels(RECTANGLE), SIZE)
    back = flat.points_mm(camera.pixels([(x, y), (400.0, -150.0)]))
    assert back == pytest.approx(np.array([(x, y), (400.0, -150.0)]), abs=1e-4)


def test_the_homography_agrees_with_opencv() -> None:
    seen = Camera(tilt_deg=30).pixels(RECTANGLE)
    ours = homography(seen, RECTANGLE)
    theirs = cv2.getPerspectiveTransform(seen.astype(np.float32), RECTANGLE.astype(np.float32))
    assert ours / ours[2, 2] == pytest.approx(theirs / theirs[2, 2], rel=1e-3, abs=1e-6)


def test_four_marks_anywhere_are_laid_out_by_their_sides_and_diagonals() -> None:
    marks = np.array([(0.0, 0.0), (760.0, 0.0), (830.0, 1010.0), (-40.0, 960.0)])
    for six in (True, False):
        placed = Placed.by(distances(marks, six=six))
        assert placed.marks_mm == pytest.approx(marks, abs=1e-6)
        assert placed.checked is six
        assert placed.misfit_mm == pytest.approx(0.0, abs=1e-6)


def test_the_other_diagonal_alone_does_too() -> None:
    marks = np.array([(0.0, 0.0), (760.0, 0.0), (830.0, 1010.0), (-40.0, 960.0)])
    given_ = distances(marks)
    only = Distances(
        first_second=given_.first_second,
        second_third=given_.second_third,
        third_fourth=given_.third_fourth,
        fourth_first=given_.fourth_first,
        second_fourth=given_.second_fourth,
    )
    assert Placed.by(only).marks_mm == pytest.approx(marks, abs=1e-6)


def test_a_rectangle_out_of_square_shows_in_the_residual_when_both_diagonals_are_given() -> None:
    """A slip of 6 mm in one diagonal leaves a misfit of a few mm, by least squares."""
    square = float(np.hypot(800, 1000))
    good = Distances(first_second=800, second_third=1000, first_third=square, second_fourth=square)
    slipped = Distances(
        first_second=800, second_third=1000, first_third=square + 6, second_fourth=square
    )
    assert Placed.by(good).misfit_mm < 1e-6
    assert 0.5 < Placed.by(slipped).misfit_mm < 6.0


@pytest.mark.parametrize("tilt", [0, 15, 30, 40])
def test_lengths_from_marks_set_by_hand_stay_within_the_stated_error(tilt: float) -> None:
    """Marks and points moved at random by 1 pixel: of 200 lengths hardly one in twenty is off by
    more than two of the stated sigmas of both ends together."""
    camera, chance = Camera(tilt_deg=tilt), np.random.default_rng(7)
    ends = np.array([(120.0, 150.0), (640.0, 880.0)])
    true = float(np.hypot(*(ends[1] - ends[0])))
    beyond = 0
    for _ in range(200):
        marks = camera.pixels(RECTANGLE) + chance.normal(0, 1, (4, 2))
        seen = camera.pixels(ends) + chance.normal(0, 1, (2, 2))
        flat = Flattening.by(marks, SIZE)
        stated = float(np.hypot(*(flat.sigma_mm(one) for one in seen)))
        beyond += abs(flat.distance_mm(*seen) - true) > 2 * stated
    assert beyond <= 10
    assert stated < 3.0  # and it says little enough to be of use


def test_a_curved_edge_comes_back_at_its_length_by_shapely() -> None:
    t = np.linspace(0, 1, 400)
    edge = np.column_stack([300 + 60 * np.sin(2 * t), 150 + 600 * t])
    camera = Camera(tilt_deg=25, roll_deg=-12)
    flat = Flattening.by(camera.pixels(RECTANGLE), SIZE)
    back = LineString(flat.points_mm(camera.pixels(edge)))
    assert back.length == pytest.approx(LineString(edge).length, abs=1e-3)


@pytest.mark.parametrize(
    "marks",
    [
        RECTANGLE[[0, 2, 1, 3]],
        np.array([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (0.0, 1.0)]),
        np.array([(0.0, 0.0), (10.0, 0.0), (3.0, 3.0), (0.0, 10.0)]),
        RECTANGLE[::-1],
        RECTANGLE[:3],
        np.full((4, 2), np.nan),
        np.zeros((4, 2)),
    ],
    ids=["crossed", "on a line", "dented", "the other way", "three", "no numbers", "one point"],
)
def test_marks_that_do_not_go_round_are_refused(marks: np.ndarray) -> None:
    with pytest.raises(BadPoints):
        Flattening.by(marks, SIZE)


@pytest.mark.parametrize(
    "given_",
    [
        Distances(first_second=0.0, second_third=1000.0),
        Distances(first_second=float("nan"), second_third=1000.0),
        Distances(first_second=800, second_third=1000, first_third=5000),
        Distances(first_second=800, second_third=1000, first_third=100),
        Distances(first_second=800, second_third=1000, first_third=1280, second_fourth=600),
        Distances(first_second=800, second_third=1000, third_fourth=790),
    ],
)
def test_distances_that_no_marks_have_are_refused_in_a_sentence(given_: Distances) -> None:
    with pytest.raises(BadMeasure, match="measure"):
        Placed.by(given_)


def test_a_point_beyond_the_horizon_is_refused() -> None:
    camera = Camera(tilt_deg=45)
    flat = Flattening.by(camera.pixels(RECTANGLE), SIZE)
    with pytest.raises(BadPoints, match="horizon"):
        flat.points_mm([(1200.0, -20000.0), (1200.0, 20000.0)])
