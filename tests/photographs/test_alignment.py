"""One picture laid over another, against scipy's and OpenCV's own fits."""

import cv2
import numpy as np
import pytest
from scipy import optimize, spatial

from patterns.geometry.alignment import best_similarity
from patterns.geometry.refusals import BadPoints

POINTS = np.array([[310.0, 205.0], [330.0, 480.0], [290.0, 700.0], [500.0, 180.0]])


def moved(turn_deg: float, scale: float, shift: tuple[float, float]) -> np.ndarray:
    turn = np.radians(turn_deg)
    across = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return np.asarray(scale * POINTS @ across.T + np.array(shift))


def test_the_same_picture_stays_where_it_is() -> None:
    same = best_similarity(POINTS, POINTS)
    assert (same.scale, same.turned_deg, same.left_over) == pytest.approx((1, 0, 0), abs=1e-9)


def test_two_points_are_enough_and_come_to_lie_on_each_other() -> None:
    fit = best_similarity(POINTS[:2], moved(12, 0.8, (40, -25))[:2])
    assert fit(POINTS) == pytest.approx(moved(12, 0.8, (40, -25)), abs=1e-9)
    assert fit.turned_deg == pytest.approx(12)


def test_points_with_faults_are_laid_as_scipys_least_squares_lays_them() -> None:
    onto = moved(-8, 1.3, (5, 90)) + np.random.default_rng(7).normal(0, 6, POINTS.shape)

    def rest(p: np.ndarray) -> np.ndarray:
        x, y = POINTS.T
        laid = np.column_stack([p[0] * x - p[1] * y + p[2], p[1] * x + p[0] * y + p[3]])
        return np.asarray((laid - onto).ravel())

    found = optimize.least_squares(rest, [1.0, 0.0, 0.0, 0.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    fit = best_similarity(POINTS, onto)
    assert (fit.a, fit.b, *fit.shift) == pytest.approx(tuple(found.x), rel=1e-5, abs=1e-4)
    assert fit.left_over == pytest.approx(np.sqrt(2 * found.cost / len(POINTS)), rel=1e-6)
    # scipy.spatial.procrustes scales the target to size 1: its disparity is the same remainder.
    _, _, disparity = spatial.procrustes(onto, POINTS)
    size = np.sum((onto - onto.mean(axis=0)) ** 2)
    assert len(POINTS) * fit.left_over**2 / size == pytest.approx(disparity, rel=1e-6)


def test_exact_points_are_laid_as_opencv_lays_them() -> None:
    onto = moved(25, 0.6, (-30, 12))
    matrix, _ = cv2.estimateAffinePartial2D(POINTS, onto)
    fit = best_similarity(POINTS, onto)
    assert np.array([[fit.a, -fit.b, fit.shift[0]], [fit.b, fit.a, fit.shift[1]]]) == pytest.approx(
        matrix, abs=1e-4
    )


def test_a_mirrored_picture_is_not_mirrored_back_because_left_must_stay_left() -> None:
    assert best_similarity(POINTS, POINTS * [-1, 1]).left_over > 50


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ([[0, 0]], [[1, 1]]),
        ([[5, 5], [5, 5]], [[0, 0], [1, 1]]),
        ([[0, 0], [1, 1]], [[0, 0], [1, 1], [2, 2]]),
        ([[0, 0], [np.nan, 1]], [[0, 0], [1, 1]]),
    ],
)
def test_what_gives_no_direction_is_refused(
    one: list[list[float]], other: list[list[float]]
) -> None:
    with pytest.raises(BadPoints):
        best_similarity(one, other)
