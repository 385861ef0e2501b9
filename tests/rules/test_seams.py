"""Seams. What is shown is trade practice with no source: a higher hindarm is more visible, turns
the elbow further out and makes the under sleeve wider; a lower forearm is hidden and makes the
under sleeve narrower; both together turn the sleeve inward; 50-50 turns nothing."""

from math import radians

import pytest

from patterns.geometry.sleeve import Girths, IronedShare
from patterns.rules.case import (
    Case,
    ElbowDirection,
    FindingSeen,
    HindarmShows,
    InlayPlace,
    PitchAngle,
    Stage,
)
from patterns.rules.correction import Correction, Meaning, Operation
from patterns.rules.propose import propose
from tests.rules.cases import (
    case,
    only_correction,
    only_left_alone,
    only_question,
    shifted,
    sleeve,
)


def elbow(deg: float) -> ElbowDirection:
    return ElbowDirection(id="elbow", turn_deg=deg)


# --- no correction


def test_elbow_is_left_alone_within_the_noise_of_the_eye() -> None:
    assert only_left_alone(case(elbow(2))).rule == "elbow-direction"


def test_hindarm_is_left_alone_when_it_shows_what_is_wanted() -> None:
    assert only_left_alone(case(HindarmShows(id="h", by_mm=5, want_mm=5))).shift_mm == 0


def test_a_hindarm_on_the_very_edge_is_left_alone_for_a_wish_within_the_noise() -> None:
    left = only_left_alone(case(HindarmShows(id="h", by_mm=0, want_mm=1)))
    assert "little weight" in left.text


def test_forearm_is_left_alone_below_the_making_tolerance() -> None:
    seen = FindingSeen(id="f", finding="forearm_seam_shows_in_front", amount_mm=2)
    assert only_left_alone(case(seen)).rule == "forearm-shows"


# --- questions


def test_elbow_asks_by_how_much_because_the_trade_has_no_usual_amount() -> None:
    question = only_question(case(FindingSeen(id="f", finding="elbow_points_in")))
    assert "how many degrees" in question.text


def test_elbow_asks_when_findings_and_angle_contradict() -> None:
    seen = FindingSeen(id="f", finding="elbow_points_out_too_far")
    assert "contradict" in only_question(case(elbow(10), seen)).text


def test_elbow_asks_when_the_seams_cannot_answer() -> None:
    assert only_question(case(elbow(60))).rule == "elbow-direction"


def test_hindarm_asks_when_the_reading_does_not_lie_on_the_sleeve() -> None:
    assert only_question(case(HindarmShows(id="h", by_mm=80, want_mm=5))).rule == "hindarm-shows"


# --- corrections


def test_elbow_turn_moves_both_seams_by_the_angle_at_each_girth() -> None:
    # A round sleeve: an angle e is an arc of girth * e / 360 for each of the two seams.
    correction = only_correction(case(elbow(9)))
    hindarm, forearm = correction.hindarm_mm, correction.forearm_mm
    assert correction.operation is Operation.SEAM_SHIFT
    assert correction.meaning is Meaning.ELBOW_TURN
    assert correction.angle_deg == pytest.approx(9)
    assert hindarm is not None
    assert forearm is not None
    assert (hindarm.head, hindarm.elbow, hindarm.cuff) == pytest.approx((9.5, 8.25, 6.75))
    assert (forearm.head, forearm.elbow, forearm.cuff) == pytest.approx((9.5, 8.25, 6.75))


def widths(correction: Correction, piece: str) -> dict[str, float]:
    found = correction.particulars[f"{piece}_width_change_mm"]
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("deg", [9, -9, 20])
@pytest.mark.parametrize("ratio", [1.0, 1.3])
def test_top_and_under_together_stay_constant_at_every_level(deg: float, ratio: float) -> None:
    correction = only_correction(case(elbow(deg), sleeve=shifted(25, 25, section_ratio=ratio)))
    for level in ("head", "elbow", "cuff"):
        total = widths(correction, "top")[level] + widths(correction, "under")[level]
        assert total == pytest.approx(0, abs=1e-9)


def test_elbow_turn_needs_no_iron_and_says_both_pieces_are_redrafted() -> None:
    correction = only_correction(case(elbow(9)))
    assert correction.iron == ()
    assert "Re-draft both pieces" in correction.do[0]


def test_seam_alone_differs_by_twice_strip_times_turning() -> None:
    """The edges of a strip folded over a line that turns by tau differ by 2 x tau: an arc of
    radius R + x is longer by x tau than the fold, the one of R - x shorter by as much."""
    seen = FindingSeen(id="f", finding="forearm_seam_shows_in_front")
    correction = only_correction(case(seen, sleeve=sleeve(bend_deg=12)))
    radius, tau = 500.0, radians(12)
    by_circles = (radius + 6) * tau - (radius - 6) * tau
    iron = correction.particulars["iron_mm"]
    assert isinstance(iron, dict)
    assert correction.meaning is Meaning.SEAM_ONLY
    assert iron["forearm"] == pytest.approx(by_circles)
    assert correction.iron[0].how == "stretch"
    assert correction.iron[0].place.startswith("top sleeve, forearm")


def test_hindarm_alone_widens_the_under_sleeve_and_shrinks_its_edge() -> None:
    correction = only_correction(case(HindarmShows(id="h", by_mm=2, want_mm=8)))
    # Round sleeve of girth 330, r = 52.52: a = arccos(1 - show / r): 15.88 -> 32.05 deg.
    assert correction.shift_mm == pytest.approx((32.05 - 15.88) / 360 * 330, abs=0.05)
    assert correction.meaning is Meaning.SEAM_ONLY
    assert widths(correction, "under")["elbow"] > 0 > widths(correction, "top")["elbow"]
    assert correction.iron[0].place.startswith("under sleeve, hindarm")
    assert "little weight" in correction.grounds.because


def test_a_flattened_sleeve_shows_more_for_the_same_shift() -> None:
    """Sleeve geometry, section 4; so the same wish needs less shift on a deeper section."""
    wish = HindarmShows(id="h", by_mm=2, want_mm=8)
    on_round = only_correction(case(wish)).shift_mm
    on_deep = only_correction(case(wish, sleeve=sleeve(section_ratio=1.3))).shift_mm
    assert 0 < on_deep < on_round


def test_elbow_in_is_answered_by_hindarm_up_and_forearm_down() -> None:
    correction = only_correction(case(FindingSeen(id="f", finding="elbow_points_in", amount_mm=8)))
    assert correction.shift_mm == pytest.approx(8)
    ways = " ".join(move.direction for move in correction.moves)
    assert "up and out" in ways
    assert "down and in" in ways
    # The reverse finding, from seams that already stand over.
    back = only_correction(
        case(
            FindingSeen(id="f", finding="elbow_points_out_too_far", amount_mm=8),
            sleeve=shifted(20, 20),
        )
    )
    assert back.shift_mm == pytest.approx(-8)


# --- cloth and quarters


def turned(given: Case) -> Correction:
    return only_correction(given)


def test_elbow_turn_says_what_is_reachable_when_the_inlay_is_short() -> None:
    inlays = {InlayPlace.UNDER_SLEEVE_HINDARM: 3.8, InlayPlace.TOP_SLEEVE_FOREARM: 20}
    correction = turned(case(elbow(9), inlays_mm=inlays))  # needs 9.5 at the head
    assert correction.share == pytest.approx(0.4)
    assert correction.reachable_mm == pytest.approx(0.4 * 8.25)
    assert correction.unreachable_mm == pytest.approx(0.6 * 8.25)
    assert any("cannot be reached" in limit for limit in correction.limits)


def test_an_unknown_inlay_is_said_and_not_refused() -> None:
    correction = turned(case(elbow(9)))
    assert correction.share == 1
    assert any("not written down" in limit for limit in correction.limits)


def test_before_the_cloth_is_cut_no_inlay_limits() -> None:
    inlays = {InlayPlace.UNDER_SLEEVE_HINDARM: 0.0}
    assert turned(case(elbow(9), inlays_mm=inlays, stage=Stage.MEASURED)).share == 1


def test_two_corrections_do_not_spend_the_same_inlay_twice() -> None:
    inlays = {InlayPlace.UNDER_SLEEVE_HINDARM: 12.0, InlayPlace.TOP_SLEEVE_FOREARM: 20}
    narrow = FindingSeen(id="n", finding="sleeve_narrow", amount_mm=8)
    proposal = propose(case(elbow(9), narrow, inlays_mm=inlays))
    first, second = proposal.corrections
    assert first.share == 1  # 9.5 of 12
    assert second.share == pytest.approx(2.5 / 8)


def test_elbow_turn_is_cut_short_where_a_seam_would_leave_its_quarter() -> None:
    """At 44 degrees a girth of 700 mm moves a seam 86 mm: past the lowest part of the armhole,
    which lies about 62 mm of arc below the front pitch."""
    assert turned(case(elbow(40))).share == 1  # 42 mm on a girth of 380: still inside
    wide = sleeve(girth_mm=Girths(biceps=700, elbow=500, cuff=400))
    assert 0 < turned(case(elbow(44), sleeve=wide)).share < 1


def test_a_forearm_seen_twice_is_one_correction() -> None:
    first = FindingSeen(id="a", finding="forearm_seam_shows_in_front", amount_mm=9)
    again = FindingSeen(id="b", finding="forearm_seam_shows_in_front", amount_mm=6)
    correction = only_correction(case(first, again))
    assert (correction.shift_mm, correction.grounds.sources) == (6, ("b",))


@pytest.mark.parametrize(
    "readings",
    [
        (ElbowDirection(id="a", turn_deg=4), ElbowDirection(id="b", turn_deg=40)),
        (
            ElbowDirection(id="a", turn_deg=2.9),
            ElbowDirection(id="b", turn_deg=2.9),
            FindingSeen(id="f", finding="elbow_points_out_too_far"),
        ),
    ],
)
def test_elbow_asks_when_readings_differ_by_more_than_their_noise(readings: tuple) -> None:
    assert "contradict" in only_question(case(*readings)).text


def test_an_elbow_turn_after_ironing_takes_the_turning_off_the_old_folds() -> None:
    """Forearm 6 mm over with its turning ironed: the elbow points straight back. Re-drafted, the
    6 mm count too: 6 deg want (a + b) / 2 = 6, 11 mm in all, so 2.5 mm more on each seam."""
    ironed = shifted(0, 6, ironed_share=IronedShare(forearm=1.0))
    correction = only_correction(case(ElbowDirection(id="e", turn_deg=6), sleeve=ironed))
    assert correction.shift_mm == pytest.approx(2.5, abs=0.01)
    assert correction.particulars["ironed_share"] == {
        "before": {"hindarm": 0.0, "forearm": 1.0},
        "after": {"hindarm": 0.0, "forearm": 0.0},
    }


def test_corrections_that_leave_the_quarter_only_together_say_so() -> None:
    """Pitch 12 mm and hindarm 12.7 mm in, together 24.7 mm down the back: past the middle."""
    both = case(
        PitchAngle(id="p", angle_deg=9),
        ElbowDirection(id="e", turn_deg=-12),
        sleeve=shifted(3, 3),
    )
    proposal = propose(both)
    assert len(proposal.corrections) == 2
    assert any("Together with" in limit for limit in proposal.corrections[1].limits)
