"""Accept, amend, refuse, sign, issue: what the fitter decides and what it leads to."""

import uuid
from typing import Any

import pytest
from django.utils import timezone

from fittings.fitting_room.decisions import decide, sign
from fittings.fitting_room.entries import add_entry, remove_entry
from fittings.models import Decision, Entry, Fitting, OrderInlay, Ticket
from fittings.refusals import Frozen
from patterns.models import PatternVersion
from tests.fitting.conftest import Room, text


def test_accepted_proposal_is_kept_with_the_amount_shown(room: Room) -> None:
    room.cuff()
    said = text(room.decide("accepted"))
    decision = Decision.objects.get()
    assert decision.outcome is not None
    assert decision.outcome["shift_mm"] == pytest.approx(7.614, abs=0.001)
    assert "Accepted" in said
    assert "Decide again" in said


def test_accept_says_how_far_the_inlay_reaches(room: Room) -> None:
    """An elbow turned 12 degrees moves each seam 380 x 12 / 360 mm at the head; half is left."""
    head_mm = 380 * 12 / 360
    OrderInlay.objects.create(
        order=room.fitting.order,
        side="left",
        place="under_sleeve_hindarm",
        as_cut_mm=10,
        left_mm=round(head_mm / 2, 1),
    )
    said = text(room.read("elbow", way="plus", turn="12"))
    assert "Accept as far as the inlay reaches: 5.5 mm" in said
    room.decide("accepted", "seam_shift:elbow-direction")
    outcome = Decision.objects.get().outcome
    assert outcome is not None
    assert outcome["shift_mm"] == pytest.approx(5.5, abs=0.05)


def test_amended_amount_is_worked_and_the_proposed_one_remembered(room: Room) -> None:
    room.cuff()
    given = {"amount": "5", "way": "plus", "because": "Half of it first, then read again"}
    said = text(room.decide("amended", **given))
    decision = Decision.objects.get()
    assert decision.outcome is not None
    assert decision.outcome["shift_mm"] == 5
    assert decision.proposal["shift_mm"] == pytest.approx(7.614, abs=0.001)
    assert decision.reason == given["because"]
    assert "proposed was 7.6 mm" in said


def test_amendment_may_go_the_other_way(room: Room) -> None:
    room.cuff()
    room.decide("amended", amount="4", way="minus", words="Seen otherwise with the arm at rest")
    outcome = Decision.objects.get().outcome
    assert outcome is not None
    assert outcome["shift_mm"] == -4
    assert "cuff back" in outcome["title"]


@pytest.mark.parametrize(
    ("verdict", "given", "sentence"),
    [
        ("amended", {"amount": "5", "way": "plus"}, "Say why in a few words"),
        (
            "amended",
            {"amount": "", "way": "plus", "words": "so"},
            "Say how much: tap a key or write it.",
        ),
        ("amended", {"amount": "lots", "way": "plus", "words": "so"}, "is not a length"),
        ("amended", {"amount": "5", "way": "", "words": "so"}, "Say which way"),
        ("refused", {}, "Say why in a few words"),
    ],
)
def test_decision_without_its_reason_or_amount_is_asked_for_again(
    room: Room, verdict: str, given: dict[str, Any], sentence: str
) -> None:
    room.cuff()
    answer = room.decide(verdict, **given)
    assert answer.status_code == 422
    assert sentence in text(answer)
    assert not Decision.objects.exists()
    for value in given.values():
        assert value in answer.content.decode()


def test_refused_proposal_leaves_nothing_to_work(room: Room) -> None:
    room.cuff()
    room.decide("refused", because="It hangs well enough")
    decision = Decision.objects.get()
    assert (decision.verdict, decision.outcome) == ("refused", None)
    assert "It hangs well enough" in text(room.sign()) or "It hangs well enough" in room.page()


def test_decision_sent_twice_is_kept_once(room: Room) -> None:
    room.cuff()
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert room.decide("accepted", identity=identity).status_code == 200
    assert Decision.objects.count() == 1


def test_decision_on_an_amount_no_longer_proposed_is_refused(room: Room) -> None:
    """Somebody logs another reading while the first amount is still on this screen."""
    room.cuff()
    answer = room.decide("accepted", seen_mm=9.9)
    assert answer.status_code == 422
    assert "The readings changed since this was shown" in text(answer)
    assert not Decision.objects.exists()


def test_decision_on_a_proposal_that_is_gone_says_so(room: Room) -> None:
    answer = room.decide("accepted")
    assert answer.status_code == 422
    assert "no longer ask for this" in text(answer)


def test_readings_changed_after_deciding_ask_to_decide_again(room: Room) -> None:
    room.cuff()
    room.decide("accepted")
    said = text(room.cuff("80"))
    assert "The readings changed since it was accepted" in said
    assert "1 proposal is undecided on the wearer's left" in said
    assert "1 proposal is undecided" in text(room.sign())
    assert not Fitting.objects.get().is_signed


def test_sign_button_shows_why_it_is_closed(room: Room) -> None:
    room.cuff()
    sentence = "1 proposal is undecided on the wearer&#x27;s left: accept, amend or refuse each."
    page = room.page()
    assert f'disabled title="{sentence}">Sign the fitting' in page
    assert f'<p id="sign-why">{sentence}' in page
    answer = room.sign()
    assert answer.status_code == 422


def test_signing_freezes_and_later_readings_are_marked_as_added(room: Room) -> None:
    room.cuff()
    room.decide("accepted")
    room.sign()
    row = Fitting.objects.get()
    assert row.is_signed
    first = Entry.objects.get()
    answer = room.post("fitting-entry-remove", {}, first.pk)
    assert answer.status_code == 409
    assert "The fitting is signed" in text(answer)
    assert Entry.objects.get().removed_at is None
    answer = room.decide("refused", because="It hangs well enough")
    assert answer.status_code == 409
    said = text(room.read("swing", clears="back"))
    assert "added after signing" in said
    changed = {"stage": "finish", "held_on": "2026-02-02", "version": row.version}
    assert room.post("fitting", changed, plain=True).status_code == 409
    assert room.sign().status_code == 409


def test_what_comes_while_it_is_signed_is_added_or_refused(room: Room) -> None:
    """The page was read before: whoever signs has not seen it."""
    room.cuff()
    room.decide("accepted")
    by, key, entry = room.fitting.fitter, Decision.objects.get().key, Entry.objects.get()
    before, now = Fitting.objects.get(), timezone.now()
    sign(Fitting.objects.get(), by=by, at=now)
    said = {"side": "left", "key": key, "verdict": "refused", "reason": "It hangs well"}
    with pytest.raises(Frozen, match="signed meanwhile"):
        decide(before, **said, by=by, at=now)
    with pytest.raises(Frozen, match="The fitting is signed"):
        remove_entry(before, entry, by=by, at=now)
    check = {"check": "balance", "state": "open"}
    added = add_entry(before, side="", kind="check", data=check, by=by, made_at=now)
    assert added.after_signing


def test_ticket_is_refused_in_words_until_there_is_signed_work(room: Room) -> None:
    answer = room.post("fitting-ticket", {}, plain=True)
    assert answer.status_code == 422
    assert "Sign the fitting first" in text(answer)
    room.sign()
    assert "Nothing is to be done" in room.page()
    assert room.post("fitting-ticket", {}, plain=True).status_code == 422
    assert not Ticket.objects.exists()


def test_ticket_issued_makes_a_new_version_and_is_linked(room: Room) -> None:
    room.cuff()
    room.decide("accepted")
    room.sign()
    assert room.post("fitting-ticket", {}, plain=True).status_code == 302
    ticket = Ticket.objects.get()
    assert PatternVersion.objects.count() == 2
    page = room.page()
    assert ticket.get_absolute_url() in page
    assert "paper.pdf" in page
    again = room.post("fitting-ticket", {}, plain=True)
    assert again.status_code == 422
    assert "is issued for this fitting" in text(again)


def test_work_accepted_on_a_reading_taken_back_is_not_on_the_ticket(room: Room) -> None:
    room.cuff()
    room.decide("accepted")
    room.read("length", way="plus", by="12")
    room.decide("accepted", "length:length")
    cuff = Entry.objects.filter(data__has_key="cuff_offset_mm").get()
    said = text(room.post("fitting-entry-remove", {}, cuff.pk))
    assert "the readings no longer ask for it. It will not be worked." in said
    room.sign()
    room.post("fitting-ticket", {}, plain=True)
    lines = Ticket.objects.get().content["lines"]
    assert [line["operation"] for line in lines] == ["length"]


def test_page_asks_the_database_no_more_often_with_thirty_entries(
    room: Room, django_assert_max_num_queries: Any
) -> None:
    room.cuff()
    room.decide("accepted")
    with django_assert_max_num_queries(24) as few:
        room.page()
    for number in range(29):
        room.cuff(side="right" if number % 2 else "left")
        room.read("length", way="plus", by=str(10 + number % 3))
    for side in ("left", "right"):
        for key in ("pitch:pitch", "length:length"):
            room.decide("accepted", key, side)
    first = Entry.objects.first()
    assert first is not None
    room.post("fitting-entry-remove", {}, first.pk)
    with django_assert_max_num_queries(24) as many:
        room.page()
    assert len(many) == len(few)


def test_all_of_a_check_that_there_is_not_is_refused_before_anything_is_kept(room: Room) -> None:
    assert room.post("fitting-accept-all", {"check": "hems of ours"}).status_code == 422
