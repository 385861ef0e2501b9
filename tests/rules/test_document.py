"""The suggestion document: what is read, and how faults are named."""

import json
import re
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from patterns.rules.case import CuffOffset, FindingSeen, PitchAngle, Stage
from patterns.rules.document import (
    BadDocument,
    read_case,
    read_json,
    reading_faults,
    schema,
)
from patterns.rules.propose import propose
from patterns.rules.report import report

DOCUMENT: dict[str, Any] = {
    "side": "left",
    "stage": "baste",
    "armhole": {"girth_mm": 480, "pitch_width_mm": 140, "pitch_height_mm": 65},
    "sleeve": {
        "girth_mm": {"biceps": 380, "elbow": 330, "cuff": 270},
        "crown_height_mm": 160,
        "length_mm": 640,
    },
    "readings": [],
}


def document(*readings: dict[str, Any], **changes: Any) -> dict[str, Any]:
    return {**deepcopy(DOCUMENT), "readings": list(readings), **changes}


def faults(given_document: Any) -> tuple[str, ...]:
    with pytest.raises(BadDocument) as bad:
        read_case(given_document)
    return bad.value.faults


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(schema())


def test_an_empty_list_of_readings_is_a_sound_document() -> None:
    assert read_case(document()).readings == ()


def test_stage_is_understood_as_people_write_it() -> None:
    assert read_case(document(stage="Baste fitting")).stage is Stage.BASTE


def test_pitch_is_read_as_angle_or_as_cuff_offset() -> None:
    by_angle = {"id": "a", "what": "pitch", "angle_deg": 5}
    by_cuff = {"id": "b", "what": "pitch", "cuff_offset_mm": 50, "drop_mm": 600}
    readings = read_case(document(by_angle, by_cuff)).readings
    assert readings == (
        PitchAngle(id="a", angle_deg=5),
        CuffOffset(id="b", offset_mm=50, drop_mm=600),
    )


@pytest.mark.parametrize(
    "reading",
    [
        {"id": "crown_too_high", "what": "finding", "amount_mm": 8},
        {"id": "Crown too high", "what": "finding", "amount_mm": 8},
        {"id": "r1", "what": "finding", "finding": "crown-too-high", "amount_mm": 8},
    ],
)
def test_a_finding_is_named_by_its_id_or_beside_it(reading: dict[str, Any]) -> None:
    (seen,) = read_case(document(reading)).readings
    assert isinstance(seen, FindingSeen)
    assert (seen.finding, seen.amount_mm) == ("crown_too_high", 8)


def test_an_armhole_of_points_is_read() -> None:
    # A square of 130 mm with its corners cut, x forward, z up.
    points = [[0, 20], [20, 0], [110, 0], [130, 20], [130, 120], [110, 140], [20, 140], [0, 120]]
    case = read_case(document(armhole={"points_mm": points}))
    assert 440 < case.armhole.girth_mm < 540


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"side": "Left"}, "$.side"),
        ({"armhole": {"girth_mm": -1, "pitch_width_mm": 140, "pitch_height_mm": 65}}, "girth_mm"),
        ({"armhole": {"girth_mm": 480, "pitch_height_mm": 65}}, "$.armhole"),
        ({"armhole": {"girth_mm": 300, "pitch_width_mm": 200, "pitch_height_mm": 90}}, "$.armhole"),
        ({"armhole": {"points_mm": [[0, 0], [1, 1], [0, 1]]}}, "$.armhole.points_mm"),
        ({"sleeve": {"crown_height_mm": 160, "length_mm": 640}}, "$.sleeve"),
        ({"inlays_mm": {"pocket": 3}}, "$.inlays_mm"),
        ({"body": {"balance_settled": "yes"}}, "$.body.balance_settled"),
        ({"colour": "grey"}, "$"),
    ],
)
def test_a_fault_is_named_by_its_path(change: dict[str, Any], path: str) -> None:
    assert any(path in fault.partition(": ")[0] for fault in faults(document(**change)))


@pytest.mark.parametrize(
    ("reading", "path"),
    [
        ({"id": "a", "what": "pitch"}, "$.readings[0]"),
        ({"id": "a", "what": "pitch", "cuff_offset_mm": 5}, "$.readings[0]"),
        ({"id": "a", "what": "pitch", "angle_deg": 5, "drop_mm": 600}, "$.readings[0]"),
        ({"id": "a", "what": "pitch", "angle_deg": "5"}, "$.readings[0].angle_deg"),
        ({"id": "a", "what": "pitch", "angle_deg": True}, "$.readings[0].angle_deg"),
        ({"id": "a", "what": "slack", "where": "left", "depth_mm": 4}, "$.readings[0].where"),
        ({"id": "a", "what": "slack", "where": "front", "depth_mm": 90}, "$.readings[0].depth_mm"),
        ({"id": "a", "what": "swing_test"}, "$.readings[0]"),
        ({"id": "a", "what": "finding"}, "$.readings[0].id"),
        ({"id": "a", "what": "finding", "finding": "x"}, "$.readings[0].finding"),
        ({"id": "a", "what": "weather"}, "$.readings[0].what"),
        ({"what": "length", "amount_mm": 4}, "$.readings[0]"),
    ],
)
def test_a_bad_reading_is_named_by_its_path(reading: dict[str, Any], path: str) -> None:
    found = faults(document(reading))
    assert all(fault.count("\n") == 0 for fault in found)
    assert any(fault.partition(": ")[0] == path for fault in found)


def test_every_fault_is_told_at_once() -> None:
    bad = document({"id": "a", "what": "length", "amount_mm": "long"}, side="middle")
    assert len(faults(bad)) == 2


def test_two_readings_may_not_have_one_name() -> None:
    twice = {"id": "a", "what": "length", "amount_mm": 4}
    assert "names another reading" in faults(document(twice, twice))[0]


@pytest.mark.parametrize(
    "text",
    [
        '{"side": "left", "side": "right"}',
        "9" * 5000,
        "",
        "{",
        "[1,]",
        '{"a": NaN}',
        '{"a": Infinity}',
        "[" * 100_000,
    ],
)
def test_what_is_not_json_is_said_in_one_line(text: str) -> None:
    with pytest.raises(BadDocument) as bad:
        read_case(read_json(text))
    assert len(bad.value.faults) == 1


@pytest.mark.parametrize("whole", [[], "text", 5, None])
def test_a_document_of_another_kind_is_named(whole: Any) -> None:
    assert faults(whole)[0].startswith("$: ")


def test_a_single_reading_is_judged_by_itself() -> None:
    assert reading_faults({"id": "a", "what": "length", "amount_mm": 4}) == []
    assert reading_faults({"id": "a", "what": "length", "amount_mm": 4000})


def test_the_answer_is_plain_json_without_negative_noughts() -> None:
    back = {"id": "a", "what": "pitch", "angle_deg": -8}
    elbow = {"id": "b", "what": "elbow_direction", "turn_deg": 8}
    answer = report(propose(read_case(document(back, elbow))))
    text = json.dumps(answer, allow_nan=False)
    assert not re.search(r"-0\.0\b(?!\d)", text)
    assert json.loads(text) == answer


def answer_or_faults(given_document: Any) -> tuple[str, ...]:
    """The faults of a document; none when it was answered in numbers that JSON has."""
    try:
        case = read_case(given_document)
    except BadDocument as bad:
        return bad.faults
    json.dumps(report(propose(case)), allow_nan=False)
    return ()


json_values = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)


@settings(deadline=None, max_examples=50, derandomize=True)
@given(value=json_values, key=st.sampled_from(sorted(DOCUMENT)))
def test_any_value_anywhere_is_answered_or_refused_by_name(value: Any, key: str) -> None:
    answered = answer_or_faults({**deepcopy(DOCUMENT), key: value})
    assert all(fault.startswith("$") for fault in answered)


numbers = st.floats(30, 1500)


@settings(deadline=None, max_examples=50, derandomize=True)
@given(
    girth=numbers,
    width=numbers,
    height=st.floats(-300, 600),
    biceps=numbers,
    ratio=st.floats(0.4, 2.5),
    angle=st.floats(-60, 60),
    turn=st.floats(-90, 90),
    show=st.floats(-300, 300),
)
def test_any_measures_give_numbers_or_a_named_refusal(
    girth: float,
    width: float,
    height: float,
    biceps: float,
    ratio: float,
    angle: float,
    turn: float,
    show: float,
) -> None:
    armhole = {"girth_mm": girth, "pitch_width_mm": width, "pitch_height_mm": height}
    sleeve = deepcopy(DOCUMENT["sleeve"]) | {"section_ratio": ratio}
    sleeve["girth_mm"]["biceps"] = biceps
    readings = (
        {"id": "a", "what": "pitch", "angle_deg": angle},
        {"id": "b", "what": "elbow_direction", "turn_deg": turn},
        {"id": "c", "what": "hindarm_shows", "by_mm": 0, "want_mm": show},
        {"id": "crown_too_high", "what": "finding"},
        {"id": "sleeve_wide", "what": "finding"},
    )
    answered = answer_or_faults(document(*readings, armhole=armhole, sleeve=sleeve))
    assert all(fault.startswith("$") for fault in answered)


def test_points_in_another_unit_are_told_from_their_girth() -> None:
    inches = [
        [0, 0.8],
        [0.8, 0],
        [4.3, 0],
        [5.1, 0.8],
        [5.1, 4.7],
        [4.3, 5.5],
        [0.8, 5.5],
        [0, 4.7],
    ]
    armhole = {"points_mm": inches, "front_pitch_up_mm": 1, "back_pitch_up_mm": 3.5}
    assert "are the points in mm?" in faults(document(armhole=armhole))[0]


def test_a_sleeve_that_cannot_be_is_named_by_its_path() -> None:
    sleeve = deepcopy(DOCUMENT["sleeve"]) | {
        "elbow_mm": 700,
        "hindarm_shift_mm": {"elbow": 100},
    }
    paths = {fault.partition(": ")[0] for fault in faults(document(sleeve=sleeve))}
    assert paths == {"$.sleeve.elbow_mm", "$.sleeve.hindarm_shift_mm.elbow"}


def test_a_measured_angle_outweighs_one_by_eye_because_it_carries_its_own_noise() -> None:
    # By hand: weights 1/1 and 1/9 give (6 + 0/9) / (10/9) = 5.4 degrees, noise sqrt(9/10);
    # at a girth of 480 mm that is 7.2 mm and 1.265 mm (480/360 mm a degree).
    measured = {"id": "measured", "what": "pitch", "angle_deg": 6, "sigma_deg": 1}
    by_eye = {"id": "by eye", "what": "pitch", "angle_deg": 0}
    (correction,) = propose(read_case(document(measured, by_eye))).corrections
    assert correction.shift_mm == pytest.approx(7.2, abs=1e-6)
    assert correction.grounds.sigma_mm == pytest.approx(1.2649, abs=1e-3)
