"""An issued ticket stays as it was; a reissue supersedes it and takes its inlay anew."""

from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from fittings.bench.ticks import mark_done
from fittings.fitting_room.decisions import decide, sign
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.proposals import both_sides, one_side
from fittings.models import Fitting, Order, Ticket
from fittings.refusals import Frozen, Refused
from fittings.ticketing.issuing import issue, reissue
from tests.at_once import at_once
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory, UserFactory
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, cuff, issued, signed_fitting

pytestmark = pytest.mark.django_db

LONGER = [("right", {"what": "length", "amount_mm": 8})]
CUFF = [("right", "cuff", 40)]


def cuff_left(order: Order) -> Decimal:
    return order.inlays.get(side="right", place="cuff").left_mm


def test_an_issued_ticket_refuses_to_be_saved() -> None:
    ticket = issued(LEFT_FORWARD)
    ticket.content["lines"] = []
    with pytest.raises(Frozen):
        ticket.save()
    assert Ticket.objects.get(pk=ticket.pk).content["lines"]


def test_issuing_makes_the_next_pattern_version_with_the_notch_moved() -> None:
    """Cuff forward adds to the notch on the left, cuff back takes from it on the right."""
    ticket = issued([*LEFT_FORWARD, *RIGHT_BACK])
    before, after = ticket.pattern_before, ticket.pattern_after
    assert before is not None
    assert after is not None
    assert (before.number, after.number, after.parent) == (1, 2, before)
    assert before.sides["left"]["sleeve"].get("notch_shift_mm", 0) == 0
    assert after.sides["left"]["sleeve"]["notch_shift_mm"] == pytest.approx(8, abs=0.1)
    assert after.sides["right"]["sleeve"]["notch_shift_mm"] == pytest.approx(-8, abs=0.1)
    assert Order.objects.get(pk=ticket.order_id).pattern_version == after


def test_a_reissue_is_the_next_revision_and_keeps_the_old_paper() -> None:
    ticket = issued(LEFT_FORWARD)
    kept = Ticket.objects.values().get(pk=ticket.pk)
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    assert (later.number, later.revision, later.supersedes) == (ticket.number, 2, ticket)
    assert Ticket.objects.values().get(pk=ticket.pk) == kept
    assert later.content["reason"] == "read again"
    assert list(Ticket.objects.newest()) == [later]


def test_a_reissue_begins_from_the_pattern_before_and_not_from_the_first_paper() -> None:
    """Else the notch would be moved twice."""
    ticket = issued(LEFT_FORWARD)
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    assert later.pattern_before == ticket.pattern_before
    assert later.pattern_after is not None
    moved = later.pattern_after.sides["left"]["sleeve"]["notch_shift_mm"]
    assert moved == pytest.approx(8, abs=0.1)


def test_inlay_is_taken_once_and_given_back_at_a_reissue() -> None:
    ticket = issued(LONGER, inlays=CUFF)
    assert cuff_left(ticket.order) == Decimal(32)
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="a word was wrong")
    assert cuff_left(ticket.order) == Decimal(32)


def test_a_reissue_with_another_amount_takes_that_amount_of_inlay() -> None:
    ticket = issued(LONGER, inlays=CUFF)
    fitting, at = ticket.fitting, timezone.now()
    shorter = {"what": "length", "amount_mm": 4, "sigma_mm": 0.1}
    add_entry(fitting, side="right", kind="reading", data=shorter, by=fitting.fitter, made_at=at)
    (proposed,) = one_side(fitting, "right").proposed
    needed = round(Decimal(proposed.document["inlay"][0]["needed_mm"]), 1)
    decide(
        fitting,
        side="right",
        key=proposed.correction.key,
        verdict="accepted",
        by=fitting.fitter,
        at=at,
    )
    reissue(ticket, by=ticket.issued_by, at=at, reason="measured again")
    assert needed < 8
    assert cuff_left(ticket.order) == 40 - needed


@pytest.mark.parametrize("reason", ["", "   "])
def test_a_reissue_without_a_reason_is_refused(reason: str) -> None:
    ticket = issued(LEFT_FORWARD)
    with pytest.raises(Refused, match="why"):
        reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason=reason)


def test_only_the_newest_paper_is_reissued() -> None:
    ticket = issued(LEFT_FORWARD)
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    with pytest.raises(Refused, match="supersedes this paper already"):
        reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="once more")


def next_fitting(ticket: Ticket) -> Fitting:
    """Another fitting of the same coat, signed, with 8 mm more length on the right."""
    fitting = FittingFactory(order=Order.objects.get(pk=ticket.order_id), fitter=ticket.issued_by)
    return decided(fitting, LONGER)


def decided(fitting: Fitting, readings: list[Any]) -> Fitting:
    by, at = fitting.fitter, timezone.now()
    for side, data in readings:
        add_entry(fitting, side=side, kind="reading", data=data, by=by, made_at=at)
    for side in both_sides(fitting):
        for one in side.proposed:
            key = one.correction.key
            decide(fitting, side=side.side, key=key, verdict="accepted", by=by, at=at)
    sign(fitting, by=by, at=at)
    return fitting


def test_an_older_ticket_is_not_reissued_over_the_work_of_a_later_one() -> None:
    first = issued(LEFT_FORWARD)
    second = issue(next_fitting(first), by=first.issued_by, at=timezone.now())
    with pytest.raises(Refused, match="would undo that work"):
        reissue(first, by=first.issued_by, at=timezone.now(), reason="typo")
    assert Order.objects.get(pk=first.order_id).pattern_version == second.pattern_after


def test_two_fittings_read_on_one_version_do_not_overwrite_each_other() -> None:
    first = signed_fitting(LEFT_FORWARD)
    second = decided(FittingFactory(order=first.order, fitter=first.fitter), LONGER)
    issue(first, by=first.fitter, at=timezone.now())
    with pytest.raises(Refused, match="at a new fitting"):
        issue(second, by=first.fitter, at=timezone.now())


def test_a_fitting_signed_before_the_order_had_a_pattern_is_read_against_it_later() -> None:
    order = OrderFactory()
    fitting = FittingFactory(order=order)
    add_entry(
        fitting,
        side="left",
        kind="reading",
        data=cuff(63),
        by=fitting.fitter,
        made_at=timezone.now(),
    )
    sign(fitting, by=fitting.fitter, at=timezone.now())
    order.refresh_from_db()
    order.pattern_version = PatternVersionFactory()
    order.save()
    found = Fitting.objects.get(pk=fitting.pk)
    assert [p.correction.title for p in both_sides(found)[0].proposed]


def test_a_reissue_keeps_what_the_workroom_has_done_of_the_same_work() -> None:
    ticket = issued([*LEFT_FORWARD, *RIGHT_BACK])
    line = ticket.lines.first()
    assert line is not None
    line.done_by, line.done_at = ticket.issued_by, timezone.now()
    line.save()
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="smudged")
    assert [one.done_by for one in later.lines.all()] == [ticket.issued_by, None]


def test_a_tick_made_while_the_reissue_was_asked_for_is_not_lost() -> None:
    ticket = issued(LEFT_FORWARD)
    asked = Ticket.objects.prefetch_related("lines__inlay_uses").get(pk=ticket.pk)
    assert [line.done_at for line in asked.lines.all()] == [None]
    maker = UserFactory(role="workroom")
    mark_done(ticket.lines.get(), by=maker, at=timezone.now())
    later = reissue(asked, by=ticket.issued_by, at=timezone.now(), reason="smudged")
    assert later.lines.get().done_by == maker


@pytest.mark.django_db(transaction=True)
def test_issued_by_two_at_once_it_is_one_ticket() -> None:
    fitting = signed_fitting(LEFT_FORWARD)

    def press() -> str:
        try:
            issue(Fitting.objects.get(pk=fitting.pk), by=fitting.fitter, at=timezone.now())
        except Refused as refusal:
            return str(refusal)
        return ""

    said = sorted(at_once(2, press))
    assert Ticket.objects.get().fitting == fitting
    assert said[0] == ""
    assert "is issued for this fitting" in said[1]
