"""What holds for every proposal: provisional when the body is open, amending, the catalogue."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.geometry.refusals import GeometryRefused
from patterns.rules.case import (
    Body,
    ElbowDirection,
    FindingSeen,
    InlayPlace,
    PitchAngle,
    Side,
    Stage,
)
from patterns.rules.catalogue import FINDINGS, SLEEVE_FINDINGS, canonical
from patterns.rules.propose import amended, as_far_as_it_goes, propose
from patterns.rules.remedies import LENGTH_SIGN, REMEDIES
from tests.rules.cases import case, only_correction

PITCH = PitchAngle(id="p", angle_deg=6)


@pytest.mark.parametrize(
    ("body", "named"),
    [
        (Body(balance_settled=False, shoulders_settled=True), "Balance"),
        (Body(balance_settled=True, shoulders_settled=False), "Shoulders"),
        (Body(), "Balance and shoulders"),
    ],
)
def test_a_correction_is_provisional_while_the_body_is_open(body: Body, named: str) -> None:
    proposal = propose(case(PITCH, body=body))
    assert proposal.corrections[0].provisional
    assert proposal.warnings[0].startswith(f"{named} not settled")


def test_a_short_back_balance_imitates_pitch_and_the_warning_says_how_much() -> None:
    """asin(10/140) = 4.096 deg turns an armhole of 480 mm by 5.46 mm (about 6 mm; calculated)."""
    proposal = propose(case(PITCH, body=Body(balance_settled=False, shoulders_settled=True)))
    assert "looks like 5.5 mm of pitch" in proposal.warnings[0]


def test_a_correction_stands_when_the_body_is_settled() -> None:
    assert not only_correction(case(PITCH)).provisional


def test_every_finding_of_the_catalogue_is_answered_by_a_rule() -> None:
    for finding in SLEEVE_FINDINGS:
        proposal = propose(case(FindingSeen(id="f", finding=finding.id)))
        assert len(proposal.corrections) + len(proposal.questions) == 1, finding.id


def test_every_rule_for_a_finding_stands_in_the_catalogue() -> None:
    assert set(REMEDIES) | set(LENGTH_SIGN) <= set(FINDINGS)


def test_ids_of_the_catalogue_are_single_stable_words() -> None:
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)*", id_) for id_ in FINDINGS)
    assert len(FINDINGS) == len(SLEEVE_FINDINGS) == 24
    assert canonical("Crown too high") == canonical("crown-too-high") == "crown_too_high"


@pytest.mark.parametrize("finding", [f.id for f in SLEEVE_FINDINGS])
def test_every_correction_carries_reason_law_and_a_line_of_work(finding: str) -> None:
    for correction in propose(case(FindingSeen(id="f", finding=finding))).corrections:
        assert correction.grounds.because
        assert correction.law
        assert correction.moves
        assert correction.predicted
        assert all(min(m.mm.head, m.mm.elbow, m.mm.cuff) >= 0 for m in correction.moves)


def test_amending_works_everything_out_anew() -> None:
    given_case = case(PITCH)
    changed = amended(given_case, only_correction(given_case), 5.0)
    assert changed.shift_mm == 5.0
    assert changed.angle_deg == pytest.approx(3.75)  # 360 * 5 / 480
    assert changed.moves[0].mm.head == 5.0
    assert "Amended by the fitter from 8 mm to 5 mm" in changed.grounds.because


def test_amending_an_elbow_turn_moves_both_seams_by_the_new_amount() -> None:
    given_case = case(ElbowDirection(id="e", turn_deg=9))
    changed = amended(given_case, only_correction(given_case), 5.5)
    assert changed.hindarm_mm is not None
    assert changed.hindarm_mm.elbow == pytest.approx(5.5, abs=1e-6)
    assert changed.angle_deg == pytest.approx(6.0, abs=1e-6)  # 360 * 5.5 / 330


def test_going_as_far_as_it_goes_changes_nothing_that_is_within_reach() -> None:
    given_case = case(PITCH)
    correction = only_correction(given_case)
    assert as_far_as_it_goes(given_case, correction) is correction


def test_late_stages_warn_of_work_that_reopens_the_sleeve() -> None:
    late = only_correction(case(FindingSeen(id="f", finding="crown_too_high"), stage=Stage.FINISH))
    assert any("finish fitting" in limit for limit in late.limits)


# --- properties of the sleeve geometry, section 6, as far as they concern the rules


@settings(deadline=None, max_examples=60, derandomize=True)
@given(low=st.floats(-40, 40), step=st.floats(0.01, 10))
def test_pitch_is_monotone_in_the_angle_read(low: float, step: float) -> None:
    def shift(deg: float) -> float:
        proposal = propose(case(PitchAngle(id="p", angle_deg=deg)))
        (found,) = proposal.corrections or proposal.left_alone
        return found.shift_mm

    assert shift(low) < shift(low + step)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(deg=st.floats(-40, 40), turn=st.floats(-40, 40))
def test_left_is_the_mirror_of_right_for_any_readings(deg: float, turn: float) -> None:
    readings = (PitchAngle(id="p", angle_deg=deg), ElbowDirection(id="e", turn_deg=turn))
    left, right = (propose(case(*readings, side=side)) for side in Side)
    assert [c.shift_mm for c in left.corrections] == [c.shift_mm for c in right.corrections]
    assert [c.particulars for c in left.corrections] == [c.particulars for c in right.corrections]


@settings(deadline=None, max_examples=30, derandomize=True)
@given(deg=st.floats(10, 20))
def test_reach_is_continuous_where_turning_becomes_recutting(deg: float) -> None:
    """The hindarm leaves its quarter at about 14.3 mm (10.7 deg) here. Without inlay a recut is out
    of reach, but a turn needs no cloth: what can be reached only stops growing there."""
    none_left = {InlayPlace.TOP_SLEEVE_HEAD: 0.0, InlayPlace.UNDER_SLEEVE_HEAD: 0.0}
    correction = only_correction(case(PitchAngle(id="p", angle_deg=deg), inlays_mm=none_left))
    assert correction.shift_mm == pytest.approx(deg * 480 / 360)
    assert correction.reachable_mm == pytest.approx(min(deg * 480 / 360, 14.3), abs=0.05)


@pytest.mark.parametrize(
    "finding", ["front_of_head_shallow", "under_sleeve_head_full", "forearm_tight"]
)
def test_what_only_goes_one_way_is_not_amended_to_the_other(finding: str) -> None:
    given_case = case(FindingSeen(id="f", finding=finding))
    with pytest.raises(GeometryRefused, match="one way"):
        amended(given_case, only_correction(given_case), -4.0)


@settings(deadline=None, max_examples=60, derandomize=True)
@given(
    findings=st.lists(
        st.tuples(st.sampled_from(sorted(FINDINGS)), st.none() | st.floats(0, 30)), max_size=6
    )
)
def test_no_two_proposals_of_a_side_share_a_name(
    findings: list[tuple[str, float | None]],
) -> None:
    """Or one of them could never be decided."""
    readings = [
        FindingSeen(id=str(n), finding=finding, amount_mm=amount)
        for n, (finding, amount) in enumerate(findings)
    ]
    keys = [c.key for c in propose(case(*readings)).corrections]
    assert len(keys) == len(set(keys))
