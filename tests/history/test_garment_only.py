"""What a garment knows and its pattern does not: flagged, told before the next is cut, settled."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.bench.ticks import mark_done, take_back_done
from fittings.models import Cause, GarmentOnly, Order, Settled, Stage, Ticket, TicketLine
from fittings.pattern_history.flagging import flag_ticket
from fittings.pattern_history.garment_only import (
    decide_against,
    flag_amount,
    missing,
    note_by_hand,
    said,
    take_over,
    take_over_now,
)
from fittings.refusals import RecordChanged, Refused
from fittings.units import parse_length
from patterns.models import PatternVersion
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import (
    FittingFactory,
    OrderFactory,
    PatternVersionFactory,
    TicketFactory,
    UserFactory,
)
from tests.fitting.conftest import Room, fitting, room
from tests.garment.test_fitting import accept_all, see
from tests.ticket.worked import LEFT_FORWARD, issued

__all__ = ["fitting", "room"]

pytestmark = pytest.mark.django_db

AT = dt.datetime(2026, 3, 2, 10, tzinfo=dt.UTC)
# A line of the body as a ticket keeps it.
LET_OUT: dict[str, Any] = {
    "key": "garment:side_tight",
    "operation": "garment",
    "on_pattern": False,
    "side": "left",
    "title": "Let the side seam out, 6 mm",
    "shift_mm": 6.0,
    "moves": [{"piece": "back", "edge": "side seam", "direction": "out", "mm": {"here": 6.0}}],
    "inlay": [],
}

LESS = {**LET_OUT, "title": "Let the side seam out, 4 mm", "shift_mm": 4.0}


def paper(*contents: dict[str, Any], supersedes: Ticket | None = None, done: bool = True) -> Ticket:
    """A ticket with these lines, flagged as at issue; `done`: ticked, each line."""
    fitting = supersedes.fitting if supersedes else FittingFactory()
    revision = supersedes.revision + 1 if supersedes else 1
    number = supersedes.number if supersedes else f"T-8{Ticket.objects.count():03d}"
    ticket: Ticket = TicketFactory(
        number=number, fitting=fitting, revision=revision, supersedes=supersedes
    )
    for position, content in enumerate(contents, start=1):
        TicketLine.objects.create(
            ticket=ticket, position=position, side=content["side"], content=content
        )
    flag_ticket(ticket)
    for line in ticket.lines.all() if done else ():
        mark_done(line, by=UserFactory(role="workroom"), at=AT)
    return ticket


def noted(order: Order | None = None, **words: Any) -> GarmentOnly:
    told: dict[str, Any] = {"what": "let out", "place": "side seam", "side": ""}
    told |= {"amount_mm": Decimal(6), "by": UserFactory(), "at": AT}
    return note_by_hand(order or OrderFactory(), **(told | words))


# what is not flagged


def test_a_line_that_stands_on_the_pattern_is_not_flagged() -> None:
    issued(LEFT_FORWARD)
    assert not GarmentOnly.objects.exists()


def test_inlay_used_as_it_was_reckoned_is_not_flagged() -> None:
    line = inlay_line()
    mark_done(line, by=UserFactory(role="workroom"), at=AT)
    assert not GarmentOnly.objects.exists()


def test_the_amount_that_was_ticketed_is_nothing_to_note() -> None:
    line = issued(LEFT_FORWARD).lines.get()
    with pytest.raises(Refused, match="nothing to note"):
        flag_amount(line, Decimal(8), by=UserFactory(), at=AT)


# what is flagged


def test_a_line_of_the_garment_alone_is_flagged_with_piece_edge_side_and_amount() -> None:
    flag = GarmentOnly.objects.get(line__in=paper(LET_OUT).lines.all())
    assert (flag.cause, flag.side, flag.amount_mm) == (Cause.NOT_ON_PATTERN, "left", 6)
    assert flag.place == "back, side seam"
    flag.order.ordered_on = dt.date(2024, 5, 1)
    assert said(flag, "mm") == (
        "The coat of 2024, back, side seam, wearer's left: let the side seam out by 6 mm; "
        "the pattern does not know."
    )
    assert "1/4 in" in said(flag, "in")


def test_what_is_accepted_of_the_garment_at_a_fitting_is_flagged_by_its_ticket(
    room: Room,
) -> None:
    see(room, "waist_tight", "right")
    accept_all(room, "waist")
    room.sign()
    assert room.post("fitting-ticket", {}, plain=True).status_code == 302
    assert not GarmentOnly.objects.open().exists()
    mark_done(TicketLine.objects.get(), by=UserFactory(role="workroom"), at=AT)
    flag = GarmentOnly.objects.open().get()
    assert (flag.cause, flag.side, flag.amount_mm) == (Cause.NOT_ON_PATTERN, "right", 8)
    told = said(flag, "mm")
    assert "wearer's right" in told
    assert "let out at the waist by 8 mm; the pattern does not know." in told


def test_a_reissue_leaves_one_open_flag_and_says_where_the_old_one_went() -> None:
    first = paper(LET_OUT, done=False)
    second = paper(LESS, supersedes=first)
    (flag,) = GarmentOnly.objects.open()
    assert flag.line is not None
    assert flag.line.ticket == second
    old = GarmentOnly.objects.exclude(pk=flag.pk).get()
    assert old.settled == Settled.DECIDED_AGAINST
    assert str(second) in old.settled_reason


def open_amounts() -> list[Decimal | None]:
    return [flag.amount_mm for flag in GarmentOnly.objects.open()]


def test_a_line_counts_while_it_is_ticked_because_only_then_the_garment_has_it() -> None:
    line, maker = paper(LET_OUT, done=False).lines.get(), UserFactory(role="workroom")
    assert open_amounts() == []
    assert "not ticked as done yet" in said(GarmentOnly.objects.get(), "mm")
    mark_done(line, by=maker, at=AT)
    assert open_amounts() == [6]
    take_back_done(line, by=maker)
    assert open_amounts() == []


def test_a_line_nobody_ticked_is_asked_about_once_the_garment_is_delivered() -> None:
    order = paper(LET_OUT, done=False).order
    order.stage = Stage.DELIVERED
    order.save()
    flag = GarmentOnly.objects.open().get()
    assert flag.is_open
    assert "Nobody ticked it: look at the garment" in said(flag, "mm")


def test_what_was_worked_stays_open_until_the_reissued_line_is_worked_over_it() -> None:
    first = paper(LET_OUT)
    again = paper(LESS, supersedes=first, done=False)
    assert open_amounts() == [6]
    line, maker = again.lines.get(), UserFactory(role="workroom")
    mark_done(line, by=maker, at=AT)
    assert open_amounts() == [4]
    take_back_done(line, by=maker)
    assert open_amounts() == [6]


def test_what_was_worked_stays_open_where_the_reissue_leaves_it_out() -> None:
    paper({**LET_OUT, "key": "garment:other", "title": "Take in, 3 mm"}, supersedes=paper(LET_OUT))
    assert sorted(mm for mm in open_amounts() if mm) == [6, 6]
    assert GarmentOnly.objects.open().count() == 2


def test_what_somebody_settled_is_not_asked_again_by_a_reissue() -> None:
    first = paper(LET_OUT)
    decide_against(GarmentOnly.objects.get(), "He lost the weight.", by=UserFactory(), at=AT)
    paper(LET_OUT, supersedes=paper(LET_OUT, supersedes=first))
    assert open_amounts() == []


def inlay_line() -> TicketLine:
    """A line that reckons 5 mm of the 10 there are at the under sleeve's hindarm."""
    need = {"place": "under_sleeve_hindarm", "needed_mm": 5.0, "left_mm": 10.0, "short_mm": 0.0}
    ticket = paper({**LET_OUT, "on_pattern": True, "inlay": [need]}, done=False)
    ticket.order.inlays.create(side="left", place="under_sleeve_hindarm", as_cut_mm=10, left_mm=10)
    return ticket.lines.get()


def test_inlay_used_by_more_than_was_reckoned_is_flagged_until_the_tick_is_taken_back() -> None:
    line, maker = inlay_line(), UserFactory(role="workroom")
    mark_done(line, by=maker, at=AT, used={"under_sleeve_hindarm": parse_length("8", "mm")})
    flag = GarmentOnly.objects.open().get()
    assert flag.cause == Cause.OTHER_INLAY
    assert "more inlay used" in flag.what
    assert flag.amount_mm == 3
    take_back_done(line, by=maker)
    assert not GarmentOnly.objects.open().exists()
    mark_done(line, by=maker, at=AT, used={"under_sleeve_hindarm": parse_length("7", "mm")})
    flag.refresh_from_db()
    assert (flag.settled, flag.amount_mm) == ("", 2)  # open anew, with what it is now


def test_a_line_done_with_another_amount_says_both() -> None:
    line = issued(LEFT_FORWARD).lines.get()
    told = said(flag_amount(line, Decimal(6), by=UserFactory(), at=AT), "mm")
    assert "cuff forward, 8 mm" in told
    assert "done with 6 mm" in told


# settled


def test_taken_over_names_the_version_and_decided_against_the_reason() -> None:
    version, by = PatternVersionFactory(), UserFactory()
    one, other = noted(), noted()
    take_over(one, version, by=by, at=AT)
    decide_against(other, "He lost the weight again.", by=by, at=AT)
    assert not GarmentOnly.objects.open().exists()
    assert (one.settled, one.settled_in, one.settled_by) == (Settled.TAKEN_OVER, version, by)
    assert other.settled_reason == "He lost the weight again."


def test_it_is_settled_once_and_never_without_a_reason() -> None:
    flag, by = noted(), UserFactory()
    with pytest.raises(Refused, match="Say why"):
        decide_against(flag, "  ", by=by, at=AT)
    seen = GarmentOnly.objects.get(pk=flag.pk)
    decide_against(flag, "It was a mistake.", by=by, at=AT)
    with pytest.raises(Refused, match="settled already"):
        take_over(flag, PatternVersionFactory(), by=by, at=AT)
    with pytest.raises(RecordChanged):
        take_over(seen, PatternVersionFactory(), by=by, at=AT)


def test_the_pattern_is_brought_to_what_was_done_and_the_order_with_it() -> None:
    line = issued(LEFT_FORWARD).lines.get()
    flag = flag_amount(line, Decimal(6), by=UserFactory(), at=AT)
    before = line.ticket.pattern_after
    assert before is not None
    ticketed = before.sides["left"]["sleeve"]["notch_shift_mm"]
    made = take_over_now(flag, by=UserFactory(), at=AT)
    assert made.parent == before
    # The ticket asked for 8 mm to the nearest tenth; 6 mm were done.
    assert ticketed == pytest.approx(8, abs=0.05)
    assert made.sides["left"]["sleeve"]["notch_shift_mm"] == pytest.approx(6, abs=0.01)
    assert made.sides["right"] == before.sides["right"]
    assert Order.objects.get(pk=flag.order_id).pattern_version == made
    assert GarmentOnly.objects.get(pk=flag.pk).settled_in == made


def test_what_the_numbers_do_not_say_is_not_made_into_a_version() -> None:
    flag = noted()
    assert missing(flag) is None
    count = PatternVersion.objects.count()
    with pytest.raises(Refused, match="change the pattern"):
        take_over_now(flag, by=UserFactory(), at=AT)
    assert PatternVersion.objects.count() == count


def test_a_retired_pattern_is_not_brought_to_anything() -> None:
    line = issued(LEFT_FORWARD).lines.get()
    flag = flag_amount(line, Decimal(6), by=UserFactory(), at=AT)
    pattern = flag.order.pattern_version.pattern  # type: ignore[union-attr]
    pattern.retired_on = AT.date()
    pattern.save()
    with pytest.raises(Refused, match="retired"):
        take_over_now(flag, by=UserFactory(), at=AT)
    assert GarmentOnly.objects.open().count() == 1


# pages


def test_an_order_without_any_says_so_and_the_customer_is_not_bothered(fitter: Signed) -> None:
    order = OrderFactory()
    assert "Nothing is open." in fitter[0].get(order.get_absolute_url()).content.decode()
    customer = fitter[0].get(order.customer.get_absolute_url()).content.decode()
    assert "the patterns do not" not in customer


def test_it_is_told_at_the_customer_the_order_and_before_the_next_of_its_kind_is_cut(
    fitter: Signed,
) -> None:
    coat = OrderFactory(ordered_on=dt.date(2024, 5, 1), stage=Stage.DELIVERED)
    noted(coat)
    next_coat, sewn, trousers = (
        OrderFactory(customer=coat.customer, garment=garment, stage=stage)
        for garment, stage in (
            ("coat", Stage.MEASURED),
            ("coat", Stage.FINISH),
            ("trousers", Stage.MEASURED),
        )
    )
    told = "The coat of 2024, side seam: let out by 0.6 cm; the pattern does not know."
    pages = {
        row: fitter[0].get(row.get_absolute_url()).content.decode()
        for row in (coat.customer, coat, next_coat, sewn, trousers)
    }
    assert [told in page for page in pages.values()] == [True, True, True, True, False]
    assert "Settle before you cut" in pages[next_coat]
    assert "Settle before you cut" not in pages[sewn]


def test_what_is_ticketed_and_not_worked_yet_is_told_only_before_a_cut(fitter: Signed) -> None:
    coat = paper(LET_OUT, done=False).order
    next_coat = OrderFactory(customer=coat.customer, stage=Stage.MEASURED)
    sewn = OrderFactory(customer=coat.customer, stage=Stage.FINISH)
    pages = [
        fitter[0].get(row.get_absolute_url()).content.decode()
        for row in (coat.customer, coat, next_coat, sewn)
    ]
    assert ["not ticked as done yet" in page for page in pages] == [False, False, True, False]


def test_a_fitter_notes_a_line_by_choosing_it_and_by_words(fitter: Signed) -> None:
    ticket = issued(LEFT_FORWARD)
    url = reverse("garment-only-new", args=[ticket.order_id])
    line = ticket.lines.get()
    assert fitter[0].post(url, {"line": line.pk, "amount": "0.6"}).status_code == 302
    assert fitter[0].post(url, {"what": "taken in", "side": "right"}).status_code == 302
    kept = {(flag.cause, flag.side, flag.amount_mm) for flag in GarmentOnly.objects.all()}
    assert kept == {("amount", "left", Decimal(6)), ("hand", "right", None)}


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({}, "Say what was done"),
        ({"what": "let out", "amount": "a bit"}, "is not a length"),
        ({"what": "let out", "side": "middle"}, "middle"),
    ],
)
def test_what_cannot_be_understood_is_asked_and_what_was_typed_is_kept(
    fitter: Signed, typed: dict[str, str], told: str
) -> None:
    url = reverse("garment-only-new", args=[OrderFactory().pk])
    answer = fitter[0].post(url, typed)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert f'value="{typed.get("what", "")}"' in answer.content.decode()
    assert not GarmentOnly.objects.exists()


def test_the_page_settles_in_each_way_and_refuses_in_words(fitter: Signed) -> None:
    line = issued(LEFT_FORWARD).lines.get()
    flag = flag_amount(line, Decimal(6), by=UserFactory(), at=timezone.now())
    other = noted(flag.order)
    url, second = (reverse("garment-only", args=[one.pk]) for one in (flag, other))
    assert "Make that version" in fitter[0].get(url).content.decode()
    assert "Make that version" not in fitter[0].get(second).content.decode()
    for how, told in (("taken", "Choose the version"), ("against", "Say why the pattern")):
        answer = fitter[0].post(second, {"how": how})
        assert answer.status_code == 422
        assert told in answer.content.decode()
    assert fitter[0].post(url, {"how": "now"}).status_code == 302
    version = GarmentOnly.objects.get(pk=flag.pk).settled_in
    assert version is not None
    assert fitter[0].post(second, {"how": "taken", "into": version.pk}).status_code == 302
    assert not GarmentOnly.objects.open().exists()
    assert "Taken over into the pattern" in fitter[0].get(url).content.decode()


def test_the_order_page_asks_as_often_for_many_flags_as_for_one(fitter: Signed) -> None:
    order = OrderFactory(stage=Stage.MEASURED)
    before = OrderFactory(customer=order.customer)

    def asked() -> int:
        return queries_of(fitter[0], order.get_absolute_url())

    noted(order)
    noted(before)
    few = asked()
    for _ in range(8):
        noted(order)
        noted(before)
    assert asked() == few
