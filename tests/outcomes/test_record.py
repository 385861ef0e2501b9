"""From fitting to fitting through the pages' own ways: what is written when a fitting is signed."""

import datetime as dt
import io
from decimal import Decimal
from typing import Any

import pytest
from django.core.management import call_command
from django.utils import timezone

from fittings.bench.ticks import mark_done
from fittings.fitting_room.decisions import decide, sign
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.proposals import both_sides, one_side
from fittings.models import Decision, Fitting, Need, Order, Outcome, ShopFactor
from fittings.pattern_history.garment_only import flag_amount
from fittings.ticketing.issuing import check_can_issue, issue
from tailorshop.models import Role
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory, UserFactory
from tests.ticket.worked import SETTLED, cuff

pytestmark = pytest.mark.django_db


def order(**more: Any) -> Order:
    return OrderFactory(pattern_version=PatternVersionFactory(), **more)


def read(fitting: Fitting, *readings: tuple[str, dict[str, Any]]) -> None:
    at = timezone.now()
    for check in SETTLED:
        add_entry(fitting, side="", kind="check", data=check, by=fitting.fitter, made_at=at)
    for side, data in readings:
        add_entry(fitting, side=side, kind="reading", data=data, by=fitting.fitter, made_at=at)


def accept_all(fitting: Fitting) -> None:
    for side in both_sides(fitting):
        for one in side.proposed:
            decide(
                fitting,
                side=side.side,
                key=one.correction.key,
                verdict="accepted",
                by=fitting.fitter,
                at=timezone.now(),
            )


def fitted(
    of: Order, day: int, *readings: tuple[str, dict[str, Any]], done: bool = True
) -> Fitting:
    """A fitting on day `day`: read, accepted, signed, and its ticket worked."""
    of.refresh_from_db()
    fitting = FittingFactory(order=of, held_on=dt.date(2026, 2, 1) + dt.timedelta(days=day))
    read(fitting, *readings)
    accept_all(fitting)
    sign(fitting, by=fitting.fitter, at=timezone.now())
    if Decision.objects.filter(fitting=fitting).exists():
        ticket = issue(fitting, by=fitting.fitter, at=timezone.now())
        maker = UserFactory(role=Role.WORKROOM)
        for line in ticket.lines.all() if done else []:
            mark_done(line, by=maker, at=timezone.now())
    return fitting


def test_one_fitting_alone_has_no_outcome_but_what_was_read_is_kept() -> None:
    fitting = fitted(order(), 0, ("left", cuff(63)))
    assert not Outcome.objects.exists()
    need = Need.objects.get(fitting=fitting)
    # atan(63 / 600) = 6 degrees of 360 on 480 mm of armhole: 8 mm, by hand.
    assert (need.side, need.rule, need.first) == ("left", "pitch", True)
    assert need.need_mm == pytest.approx(8.0, abs=0.02)


def test_the_next_fitting_says_how_much_came_by_hand_calculation() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    fitted(of, 14, ("left", cuff(15.7)))
    outcome = Outcome.objects.get()
    # 15.7 / 600 is 1.5 degrees, 2 mm of 480: 6 of 8 mm came, 2 mm short.
    assert outcome.worked_mm == pytest.approx(8.0, abs=0.02)
    assert outcome.observed_mm == pytest.approx(6.0, abs=0.03)
    assert outcome.residual_mm == pytest.approx(-2.0, abs=0.03)
    assert outcome.why_not_counted == ""
    assert not outcome.next_garment


def test_the_other_arm_read_later_is_no_outcome() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    fitted(of, 14, ("right", cuff(15)))
    assert not Outcome.objects.exists()


def test_a_correction_is_answered_once_though_it_is_read_twice_more() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    fitted(of, 14, ("left", cuff(5)))
    fitted(of, 28, ("left", cuff(5)))
    assert Outcome.objects.count() == 1


def test_a_line_nobody_ticked_as_done_is_shown_and_not_counted() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)), done=False)
    fitted(of, 14, ("left", cuff(60)))
    assert "not ticked" in Outcome.objects.get().why_not_counted


def test_the_next_garment_from_the_changed_pattern_is_marked_as_such() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    of.refresh_from_db()
    later = OrderFactory(customer=of.customer, pattern_version=of.pattern_version)
    fitted(later, 200, ("left", cuff(10)))
    outcome = Outcome.objects.get()
    assert outcome.next_garment
    assert outcome.why_not_counted


def test_a_reading_added_after_signing_changes_no_outcome() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    last = fitted(of, 14, ("left", cuff(15)))
    before = Outcome.objects.values().get()
    read(last, ("left", cuff(-40)))
    accept_all(last)
    assert Outcome.objects.values().get() == before


def factor(**more: Any) -> ShopFactor:
    return ShopFactor.objects.create(
        **{
            "rule": "pitch",
            "share": 0.8,
            "measured": 0.78,
            "low": 0.7,
            "high": 0.86,
            "tau": 0.1,
            "coats": 20,
            "accepted_at": timezone.now(),
            "accepted_by": UserFactory(role=Role.OWNER),
            **more,
        }
    )


def test_an_accepted_factor_asks_for_more_and_says_so() -> None:
    factor()
    fitting = FittingFactory(order=order())
    read(fitting, ("left", cuff(63)))
    (proposed,) = one_side(fitting, "left").proposed
    assert proposed.correction.shift_mm == pytest.approx(10.0, abs=0.03)  # 8 / 0.8, by hand
    assert "This shop's sleeves take 0.80 of" in proposed.correction.grounds.because
    assert "8 mm asks for 10 mm" in proposed.correction.grounds.because


def test_a_factor_of_another_cloth_is_not_used() -> None:
    factor(split_by="cloth", split="heavy")
    fitting = FittingFactory(order=order(cloth_weight_g=250))
    read(fitting, ("left", cuff(63)))
    (proposed,) = one_side(fitting, "left").proposed
    assert proposed.correction.shift_mm == pytest.approx(8.0, abs=0.02)


def test_a_decided_proposal_stays_decided_when_a_factor_is_accepted_later() -> None:
    fitting = FittingFactory(order=order())
    read(fitting, ("left", cuff(63)))
    accept_all(fitting)
    factor()
    (proposed,) = one_side(fitting, "left").proposed
    assert proposed.is_decided
    assert proposed.correction.shift_mm == pytest.approx(8.0, abs=0.02)


def test_a_signed_fitting_is_ticketed_as_signed_whatever_is_accepted_or_withdrawn_later() -> None:
    taken = factor()
    fitting = FittingFactory(order=order())
    read(fitting, ("left", cuff(63)), ("right", cuff(63)))
    accept_all(fitting)
    sign(fitting, by=fitting.fitter, at=timezone.now())
    taken.withdrawn_at = timezone.now()
    taken.save()
    check_can_issue(fitting)
    ticket = issue(fitting, by=fitting.fitter, at=timezone.now())
    amounts = [line.content["shift_mm"] for line in ticket.lines.all()]
    assert amounts == pytest.approx([10.0, 10.0], abs=0.03)


def test_what_a_factor_asked_for_is_expected_to_bring_what_was_needed() -> None:
    factor()
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    fitted(of, 14, ("left", cuff(1)))
    outcome = Outcome.objects.get()
    assert outcome.worked_mm == pytest.approx(10.0, abs=0.03)
    assert outcome.predicted_mm == pytest.approx(8.0, abs=0.03)
    assert outcome.before_mm == pytest.approx(8.0, abs=0.03)


def test_a_record_from_before_outcomes_were_kept_is_filled_in_once() -> None:
    of = order()
    fitted(of, 0, ("left", cuff(63)))
    fitted(of, 14, ("left", cuff(15.7)))
    as_signed = Outcome.objects.values_list("worked_mm", "before_mm", "after_mm").get()
    Need.objects.all().delete()
    assert not Outcome.objects.exists()
    for _ in range(2):
        call_command("outcomes", stdout=io.StringIO())
    assert Outcome.objects.values_list("worked_mm", "before_mm", "after_mm").get() == as_signed


def test_a_line_done_with_another_amount_is_judged_by_what_was_done() -> None:
    of = order()
    first = fitted(of, 0, ("left", cuff(63)))
    line = first.tickets.get().lines.get()
    flag_amount(line, Decimal("5"), by=first.fitter, at=timezone.now())
    fitted(of, 14, ("left", cuff(23.6)))  # 2.25 degrees, 3 mm still needed: 5 mm came
    outcome = Outcome.objects.get()
    assert outcome.worked_mm == pytest.approx(5.0)
    assert outcome.residual_mm == pytest.approx(0.0, abs=0.05)
