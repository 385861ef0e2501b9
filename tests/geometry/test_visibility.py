"""What shows from where, against a tube made of points and turned by scipy."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from patterns.geometry.refusals import BadMeasure
from patterns.geometry.section import Section
from patterns.geometry.visibility import (
    Pose,
    View,
    edge_distance_mm,
    hindarm_for_show,
    is_visible,
    shows_from_side,
)

GIRTH = 356.0  # the girth at which the published 3.5 and 4.5 mm both come out
ROUND = Section(girth_mm=GIRTH)
HANGING = Pose()
TOWARDS = {"side": (0.0, 1.0, 0.0), "front": (1.0, 0.0, 0.0), "back": (-1.0, 0.0, 0.0)}


def turned(pose: Pose) -> Rotation:
    """Turn about the sleeve's own axis, leave the body, swing in the armhole, by scipy."""
    return Rotation.from_euler(
        "zxy", [-pose.inward_turn_deg, pose.abduction_deg, -pose.pitch_deg], degrees=True
    )


def seen(section: Section, phi: float, pose: Pose, view: View) -> tuple[bool, float]:
    """Visible, and distance to the nearer edge: a long tube of points, projected along the view."""
    t = np.linspace(0.0, math.tau, 20001)
    ring = np.stack([section.p_mm * np.cos(t), section.q_mm * np.sin(t), 0.0 * t], axis=1)
    towards, rotation = np.array(TOWARDS[view]), turned(pose)
    axis = rotation.apply([0.0, 0.0, 1.0])
    across: NDArray[np.float64] = np.cross(axis, towards)
    across /= np.linalg.norm(across)
    spread = rotation.apply(ring) @ across
    k = int(np.argmin(np.abs((np.degrees(np.arctan2(ring[:, 1], ring[:, 0])) - phi) % 360.0)))
    ahead = rotation.apply(ring[(k + 1) % 20000] - ring[(k - 1) % 20000])
    outward = np.cross(ahead, axis)
    place = spread[k]
    return bool(outward @ towards > 0.0), float(min(spread.max() - place, place - spread.min()))


def test_fifty_fifty_seam_lies_just_on_the_edge_from_the_side() -> None:
    assert shows_from_side(ROUND, 0.0) == pytest.approx(0.0, abs=1e-9)
    assert hindarm_for_show(ROUND, 0.0) == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize(("ratio", "expected"), [(1.0, 3.5), (1.2, 4.5)])
def test_twenty_mm_shift_shows_little_on_a_known_tube(ratio: float, expected: float) -> None:
    """Sleeve geometry, section 4: 3.5 mm round, 4.5 mm at ratio 1.2. It names no girth; both come
    out to a tenth at girths of 355 to 360 mm."""
    for girth in (355.0, GIRTH, 360.0):
        shown = shows_from_side(Section(girth_mm=girth, ratio=ratio), 20.0)
        assert shown == pytest.approx(expected, abs=0.05)


def test_flattened_sleeve_shows_nearly_the_whole_shift() -> None:
    """Sleeve geometry, section 4: 20 mm shows 20."""
    assert shows_from_side(Section(girth_mm=GIRTH, ratio=50.0), 20.0) == pytest.approx(20, abs=0.1)


@pytest.mark.parametrize(("a", "turn"), [(20, 0), (0, 20), (30, -10), (10, -25), (-5, 0), (60, 40)])
def test_round_seam_shows_the_height_of_its_arc(a: float, turn: float) -> None:
    """r (1 - cos(a + turn)), and seen only when a + turn > 0 (Sleeve geometry, section 4)."""
    shown = shows_from_side(ROUND, a / 360.0 * GIRTH, turn)
    height = GIRTH / math.tau * (1.0 - math.cos(math.radians(a + turn)))
    assert abs(shown) == pytest.approx(height, abs=1e-9)
    assert (shown > 0.0) is (a + turn > 0)
    pose = Pose(inward_turn_deg=turn)
    assert is_visible(ROUND, 180.0 - a, pose, "side") is (a + turn > 0)


def test_pitch_never_decides_whether_the_hindarm_shows_from_the_side() -> None:
    for pitch in (-40.0, -10.0, 0.0, 15.0, 60.0):
        for out in (0.0, 12.0):
            pose = Pose(pitch_deg=pitch, abduction_deg=out)
            assert is_visible(ROUND, 178.0, pose, "side")
            assert not is_visible(ROUND, 182.0, pose, "side")


def test_hanging_sleeve_shows_its_front_in_front_and_its_back_behind() -> None:
    assert is_visible(ROUND, 10.0, HANGING, "front")
    assert not is_visible(ROUND, 10.0, HANGING, "back")
    assert is_visible(ROUND, 190.0, HANGING, "back")
    assert not is_visible(ROUND, 270.0, HANGING, "side")


def test_inward_turn_brings_the_back_of_the_sleeve_outward() -> None:
    """Elbow outward, thumb side in: the hindarm comes into sight from the side."""
    assert not is_visible(ROUND, 185.0, HANGING, "side")
    assert is_visible(ROUND, 185.0, Pose(inward_turn_deg=10.0), "side")
    assert not is_visible(ROUND, 5.0, Pose(inward_turn_deg=10.0), "side")


@pytest.mark.parametrize("view", ["side", "front", "back"])
@pytest.mark.parametrize(
    "pose",
    [
        Pose(),
        Pose(pitch_deg=12.0, abduction_deg=8.0, inward_turn_deg=15.0),
        Pose(pitch_deg=-20.0, abduction_deg=25.0, inward_turn_deg=-30.0),
    ],
)
@pytest.mark.parametrize("ratio", [0.8, 1.0, 1.3])
def test_edge_distance_and_sight_are_those_of_a_tube_of_points(
    ratio: float, pose: Pose, view: View
) -> None:
    section = Section(girth_mm=GIRTH, ratio=ratio)
    for phi in (20.0, 75.0, 140.0, 165.0, 200.0, 260.0, 330.0):
        visible, inside = seen(section, phi, pose, view)
        found = edge_distance_mm(section, phi, pose, view)
        assert abs(found) == pytest.approx(inside, abs=0.05)
        if inside > 0.1:
            assert is_visible(section, phi, pose, view) is visible
            assert (found > 0.0) is visible


def test_show_from_the_side_is_the_edge_distance_near_the_back_edge() -> None:
    section = Section(girth_mm=GIRTH, ratio=1.3)
    for out, turn in ((15.0, 0.0), (15.0, 20.0), (5.0, -20.0)):
        phi = section.phi_at(GIRTH / 2.0 - out)
        _, inside = seen(section, phi, Pose(inward_turn_deg=turn), "side")
        assert abs(shows_from_side(section, out, turn)) == pytest.approx(inside, abs=0.02)


@pytest.mark.parametrize("ratio", [0.7, 1.0, 1.4])
@pytest.mark.parametrize("turn", [-30.0, 0.0, 20.0])
def test_hindarm_that_shows_so_much_shows_so_much(ratio: float, turn: float) -> None:
    section = Section(girth_mm=GIRTH, ratio=ratio)
    for show in (-15.0, -1.0, 1.0, 5.0, 40.0):
        out = hindarm_for_show(section, show, turn)
        _, inside = seen(
            section, section.phi_at(GIRTH / 2.0 - out), Pose(inward_turn_deg=turn), "side"
        )
        assert inside == pytest.approx(abs(show), abs=0.03)
        assert shows_from_side(section, out, turn) == pytest.approx(show, abs=1e-6)


def test_reading_of_a_narrow_show_is_the_classic_arc() -> None:
    """A show of 3.5 mm on a round tube of 356 mm girth means about 20 mm of shift."""
    assert hindarm_for_show(ROUND, 3.5) == pytest.approx(20.0, abs=0.1)


def test_views_without_sense_are_refused_by_name() -> None:
    with pytest.raises(BadMeasure, match="choose another view"):
        edge_distance_mm(ROUND, 160.0, Pose(abduction_deg=90.0), "side")
    with pytest.raises(BadMeasure, match="choose side, front or back"):
        is_visible(ROUND, 160.0, HANGING, "above")  # type: ignore[arg-type]
    with pytest.raises(BadMeasure, match="measure it again"):
        Pose(pitch_deg=math.nan)
    with pytest.raises(BadMeasure, match="measure it again"):
        hindarm_for_show(ROUND, 300.0)
    with pytest.raises(BadMeasure, match="measure it again"):
        shows_from_side(ROUND, math.inf)
