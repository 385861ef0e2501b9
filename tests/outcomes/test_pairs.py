"""Which reading answers which correction, on made-up records whose answer is plain."""

import uuid
from typing import Any

from fittings.outcomes.pairs import Seen, Worked, pairs


def worked(rule: str = "pitch", side: str = "left", **more: Any) -> Worked:
    plain: dict[str, Any] = {
        "decision": uuid.uuid4(),
        "before_mm": 9.0,
        "before_sigma_mm": 0.8,
        "worked_mm": 9.0,
    }
    return Worked(rule=rule, side=side, **(plain | more))


def seen(rule: str = "pitch", side: str = "left", **more: Any) -> Seen:
    return Seen(rule=rule, side=side, **({"need_mm": 1.5, "sigma_mm": 0.8} | more))


def test_nothing_worked_or_nothing_read_makes_no_pair() -> None:
    assert list(pairs([], [seen()])) == []
    assert list(pairs([worked()], [])) == []


def test_the_other_side_is_no_answer_because_each_arm_hangs_by_itself() -> None:
    assert list(pairs([worked(side="left")], [seen(side="right")])) == []


def test_another_thing_read_is_no_answer() -> None:
    assert list(pairs([worked("length")], [seen("pitch")])) == []


def test_a_usual_amount_is_no_reading_before_or_after() -> None:
    assert list(pairs([worked(measured=False)], [seen()])) == []
    assert list(pairs([worked()], [seen(measured=False)])) == []


def test_of_two_tickets_the_later_is_answered_because_it_was_worked_last() -> None:
    first, second = worked(turn=0), worked(turn=1)
    (pair,) = pairs([first, second], [seen()])
    assert pair.worked is second
    assert pair.why_not_counted == ""


def test_a_pair_counts_not_when_the_body_was_not_settled_or_the_line_not_ticked() -> None:
    for before, after in (
        (worked(provisional=True), seen()),
        (worked(), seen(settled=False)),
        (worked(done=False), seen()),
        (worked(next_garment=True), seen()),
    ):
        (pair,) = pairs([before], [after])
        assert pair.why_not_counted


def test_pitch_counts_not_when_the_bend_was_changed_too_because_both_move_the_cuff() -> None:
    (pair,) = pairs([worked(), worked("bend")], [seen()])
    assert "moves the same reading" in pair.why_not_counted
    (other_side,) = pairs([worked(), worked("bend", side="right")], [seen()])
    assert other_side.why_not_counted == ""
    (bent_before,) = pairs([worked("bend", turn=0), worked(turn=1)], [seen()])
    assert bent_before.why_not_counted == ""
