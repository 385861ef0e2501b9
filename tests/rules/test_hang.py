"""The five numbers of a sleeve's state against hand-worked figures and the sewn net of springs.

Sleeve geometry, sections 2, 3 and 5.
"""

from math import atan2, degrees, pi, radians

import numpy as np
import pytest

from patterns.geometry.refusals import GeometryRefused, SeamOutOfQuarter
from patterns.geometry.sleeve import Girths, IronedShare, Levels, Sleeve
from patterns.rules.hang import hang_of
from tests.rules.cases import ARMHOLE, shifted, sleeve
from tests.rules.sewn_tube import elbow_of, ironed, redrafted


def test_plain_sleeve_hangs_plumb_and_bends_straight_forward() -> None:
    hang = hang_of(sleeve(), ARMHOLE)
    assert hang.pitch_deg == 0
    assert hang.elbow_turn_deg == pytest.approx(0, abs=1e-9)
    assert hang.length_mm == 640


def test_notches_and_draft_add_up_to_the_pitch() -> None:
    # 8 mm of 480 is a sixtieth of a whole turn: 6 degrees, on top of 4 drafted.
    hang = hang_of(sleeve(notch_shift_mm=8.0, drafted_hang_deg=4.0), ARMHOLE)
    assert hang.pitch_deg == pytest.approx(10.0)


def test_lift_is_that_of_a_tube_cut_by_the_armholes_plane() -> None:
    """A tube 380 mm round stands out by 30 degrees; the plane cuts it over a height that is
    measured on points of the cut, and that height is given to the sleeve as its crown."""
    turn = np.linspace(0.0, 2.0 * pi, 721)
    across = 380.0 / (2.0 * pi) * np.cos(turn)
    along = across / np.tan(radians(30.0))
    hang = hang_of(sleeve(crown_height_mm=float(np.ptp(along))), ARMHOLE)
    assert hang.lift_deg == pytest.approx(30.0, abs=1e-9)


def test_a_higher_crown_hangs_closer() -> None:
    """Trade practice, no source."""
    high, low = (hang_of(sleeve(crown_height_mm=h), ARMHOLE).lift_deg for h in (170, 150))
    assert high < low


def on_girth_360(hindarm: float, forearm: float, **changes: object) -> Sleeve:
    """On an elbow 360 mm round a millimetre is a degree."""
    girths = Girths(biceps=380, elbow=360, cuff=270)
    return shifted(hindarm, forearm, girth_mm=girths, **changes)


@pytest.mark.parametrize(("a", "b"), [(30, 10), (10, 30), (40, 0)])
def test_elbow_points_where_the_sewn_net_points(a: float, b: float) -> None:
    """Law and net differ by at most 0.1 + 0.0125 |a - b| T degrees, and by the coarse mesh."""
    turn = hang_of(on_girth_360(a, b), ARMHOLE).elbow_turn_deg
    assert turn == pytest.approx(
        elbow_of(redrafted(a, b, 1), mesh_deg=10).turn_deg, abs=0.1 + 0.0125 * abs(a - b)
    )


def test_turning_left_on_the_old_folds_does_not_point_the_elbow() -> None:
    share = IronedShare(hindarm=0.5, forearm=0.5)
    turn = hang_of(on_girth_360(20, 20, ironed_share=share), ARMHOLE).elbow_turn_deg
    assert turn == pytest.approx(elbow_of(ironed(20, 20, 1, 0.5)).turn_deg, abs=0.1)


@pytest.mark.parametrize("turning", [5.0, 10.0])
def test_bend_is_that_of_the_sewn_net(turning: float) -> None:
    """The net bends 1 % less at 10 degrees of turning."""
    bend = hang_of(sleeve(bend_deg=turning), ARMHOLE).bend_deg
    assert bend == pytest.approx(elbow_of(redrafted(0, 0, turning)).bend_deg, rel=0.02)


def test_usual_draft_bends_two_inches_at_the_cuff_by_four_over_pi() -> None:
    # Rosenfeld's 2 in forward over the lower 284 mm of a 640 mm sleeve, then made round.
    flat = degrees(atan2(50.8, 640 * (1 - 0.556)))
    assert hang_of(sleeve(), ARMHOLE).bend_deg == pytest.approx(4 / pi * flat)


def test_a_wedge_over_the_elbow_bends_as_its_flat_angle_does() -> None:
    """10 mm opened at the hindarm of a flat sleeve 165 mm wide turn it by 10/165 rad."""
    straight, wedged = (
        hang_of(sleeve(bend_deg=flat, hindarm_length_mm=mm), ARMHOLE).bend_deg
        for flat, mm in ((degrees(10 / 165), 0.0), (0.0, 10.0))
    )
    assert wedged == pytest.approx(straight)


def test_moving_seams_leaves_pitch_lift_bend_and_length() -> None:
    plain, moved = hang_of(sleeve(), ARMHOLE), hang_of(shifted(15, 10), ARMHOLE)
    for name in ("pitch_deg", "lift_deg", "bend_deg", "length_mm"):
        assert getattr(moved, name) == getattr(plain, name)
    assert moved.elbow_turn_deg > plain.elbow_turn_deg


def test_a_seam_past_its_quarter_is_refused_by_name() -> None:
    with pytest.raises(SeamOutOfQuarter):
        hang_of(shifted(90, 0), ARMHOLE)


def test_a_sleeve_without_girth_is_refused() -> None:
    none = Girths(biceps=0, elbow=330, cuff=270)
    with pytest.raises(GeometryRefused):
        hang_of(sleeve(girth_mm=none), ARMHOLE)


def test_only_the_elbows_level_points_the_elbow() -> None:
    at_cuff = sleeve(hindarm_shift_mm=Levels(head=20, cuff=20))
    assert hang_of(at_cuff, ARMHOLE).elbow_turn_deg == pytest.approx(0, abs=1e-9)
