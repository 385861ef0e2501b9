"""What is seen of a whole garment, from the tap to the ticket; undo; the shop's own catalogue."""

import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fittings.fitting_room.catalogue import offered
from fittings.models import Decision, Entry, ShopFinding, Ticket
from fittings.paper import ticket_pdf
from patterns.models import PatternVersion
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import FittingFactory, OrderFactory
from tests.fitting.conftest import Room, fitting, room, text
from tests.ticket.worked import words_of

__all__ = ["fitting", "room"]


@pytest.fixture
def trousers(fitter: Signed) -> Room:
    fitter[1].units = "mm"
    fitter[1].save()
    row = FittingFactory(order=OrderFactory(garment="trousers"), fitter=fitter[1])
    return Room(fitter[0], row)


def see(room: Room, finding: str, side: str = "", **given: Any) -> Any:
    sent = {"finding": finding, "side": side, "identity": str(uuid.uuid4()), **given}
    return room.post("fitting-finding", sent)


def accept_all(room: Room, check: str) -> Any:
    """Everything that the page offers to accept under this check."""
    shown = [
        f"{entry.side}|garment:{entry.data['finding']}|{entry.data['row']['usual_mm'][1]}"
        for entry in Entry.objects.filter(kind="finding", removed_at=None)
        if entry.data["row"]["check"] == check
    ]
    return room.post("fitting-accept-all", {"check": check, "one": shown})


def undo(room: Room) -> Any:
    step = room.page().split('name="step" value="')[1].split('"')[0]
    return room.post("fitting-undo", {"step": step}) if step else None


def test_nothing_seen_leaves_nothing_to_decide(room: Room) -> None:
    assert "Accept" not in text(room.client.get(room.fitting.get_absolute_url()))


def test_finding_of_one_side_is_kept_on_that_side_alone(room: Room) -> None:
    said = text(see(room, "waist_tight", "right"))
    assert [entry.side for entry in Entry.objects.all()] == ["right"]
    assert "Accept 8 mm" in said
    assert "Wearer's right : Let out at the waist, 8 mm" in said


def test_both_sides_are_two_entries_only_when_it_is_said(room: Room) -> None:
    assert see(room, "waist_tight", "").status_code == 422
    assert not Entry.objects.exists()
    see(room, "waist_tight", "both")
    assert sorted(Entry.objects.values_list("side", flat=True)) == ["left", "right"]


def test_finding_sent_twice_is_kept_once(room: Room) -> None:
    tap = str(uuid.uuid4())
    for _ in range(2):
        assert see(room, "waist_tight", "both", identity=tap).status_code == 200
    assert Entry.objects.count() == 2


def test_what_is_accepted_goes_on_the_ticket_and_not_on_the_pattern(room: Room) -> None:
    see(room, "waist_tight", "both")
    see(room, "back_short")
    assert accept_all(room, "waist").status_code == 200
    accept_all(room, "balance")
    room.sign()
    assert room.post("fitting-ticket", {}, plain=True).status_code == 302
    ticket = Ticket.objects.get()
    assert [line["side"] for line in ticket.content["lines"]] == ["", "left", "right"]
    assert not any(line["on_pattern"] for line in ticket.content["lines"])
    assert (PatternVersion.objects.count(), ticket.pattern_after) == (1, None)
    paper = words_of(ticket_pdf(ticket, unit="mm"))
    assert "Pass the back up, 8 mm" in paper
    assert "WEARER'S LEFT" in paper
    assert "the pattern does not know of it" in paper


def test_sleeve_and_garment_of_one_side_stand_on_one_ticket(room: Room) -> None:
    room.cuff()
    room.decide("accepted")
    see(room, "waist_tight", "left")
    accept_all(room, "waist")
    room.sign()
    assert room.post("fitting-ticket", {}, plain=True).status_code == 302
    ticket = Ticket.objects.get()
    assert [line["operation"] for line in ticket.content["lines"]] == ["garment", "pitch"]
    assert ticket.pattern_after is not None
    assert "Let out at the waist, 8 mm" in words_of(ticket_pdf(ticket, unit="mm"))


def test_trousers_are_fitted_and_ticketed_without_a_sleeve(trousers: Room) -> None:
    page = trousers.page()
    assert "Sleeves" not in page
    assert "no pattern yet" not in page
    see(trousers, "trousers_seat_tight")
    assert "by how much?" in text(see(trousers, "trousers_long", "left"))
    see(trousers, "trousers_long", "left", amount_mm="15")
    accept_all(trousers, "seat")
    trousers.decide("accepted", "garment:trousers_long")
    trousers.sign()
    assert trousers.post("fitting-ticket", {}, plain=True).status_code == 302
    ticket = Ticket.objects.get()
    paper = words_of(ticket_pdf(ticket, unit="mm"))
    assert "THE TROUSERS" in paper
    assert "Shorten the leg, 15 mm" in paper
    answer = trousers.client.get(ticket.get_absolute_url())
    assert "the pattern does not know of it" in text(answer)


def test_amended_amount_of_the_garment_is_worked_with_its_reason(room: Room) -> None:
    see(room, "back_short")
    given = {"side": "", "key": "garment:back_short", "verdict": "amended", "seen_mm": "8"}
    given |= {"identity": str(uuid.uuid4()), "way": "plus", "words": "Less to begin with"}
    assert room.post("fitting-decision", {**given, "amount": ""}).status_code == 422
    room.post("fitting-decision", {**given, "amount": "5"})
    outcome = Decision.objects.get().outcome
    assert outcome is not None
    assert (outcome["shift_mm"], outcome["title"]) == (5, "Pass the back up, 5 mm")


def test_undo_takes_back_step_by_step_what_each_tap_did(room: Room) -> None:
    see(room, "waist_tight", "both")
    accept_all(room, "waist")
    assert Decision.objects.standing().count() == 2
    assert "Undone: Accepted" in text(undo(room))
    assert Decision.objects.standing().count() == 0
    assert "and 1 more" in text(undo(room))
    assert Entry.objects.standing().count() == 0
    assert undo(room) is None


def test_undo_of_another_step_than_was_shown_is_refused(room: Room) -> None:
    see(room, "back_short")
    assert room.post("fitting-undo", {"step": str(uuid.uuid4())}).status_code == 409
    assert Entry.objects.standing().count() == 1


def test_signed_fitting_is_not_undone_but_what_was_added_since(room: Room) -> None:
    see(room, "back_short")
    accept_all(room, "balance")
    room.sign()
    assert undo(room) is None
    see(room, "waist_tight", "left")
    undo(room)
    assert list(Entry.objects.standing().values_list("data__finding", flat=True)) == ["back_short"]


def test_all_settled_up_to_here_leaves_open_what_was_said_to_be_open(room: Room) -> None:
    room.post("fitting-entry", {"check": "balance", "state": "open"})
    room.post("fitting-entry", {"check": "collar", "state": "all-settled"})
    said = Entry.objects.filter(kind="check", data__state="settled")
    assert sorted(said.values_list("data__check", flat=True)) == ["collar", "shoulders"]
    undo(room)
    assert Entry.objects.standing().get().data == {"check": "balance", "state": "open"}


def test_history_tells_who_did_what_and_when(room: Room) -> None:
    see(room, "back_short")
    accept_all(room, "balance")
    undo(room)
    undo(room)
    entry = Entry.objects.get()
    room.post("fitting-entry-remove", {"back": "1"}, entry.pk)
    said = text(room.client.get(reverse("fitting-history", args=[room.fitting.pk])))
    for what in ("Entered", "Accepted", "Decision withdrawn", "Taken back", "Put back"):
        assert what in said
    assert str(room.fitting.fitter) in said


def test_page_asks_no_more_often_with_many_findings(
    room: Room, django_assert_max_num_queries: Any
) -> None:
    see(room, "back_short")
    with django_assert_max_num_queries(30) as few:
        room.page()
    for row in offered("coat"):
        see(room, row.id, "left")
    with django_assert_max_num_queries(30) as many:
        room.page()
    assert len(many) == len(few)


def edit(owner: Client, rule: str, **given: Any) -> Any:
    sent = {"name": "", "seen": "", "remedy": "", "usual": "", **given}
    return owner.post(reverse("shop-finding-edit", args=[rule]), sent)


def test_shops_own_amount_is_proposed_and_reset_brings_the_books_back(
    room: Room, owner: Signed
) -> None:
    assert edit(owner[0], "back_short", usual="1.1").status_code == 302
    assert "Accept 11 mm" in text(see(room, "back_short"))
    answer = owner[0].post(reverse("shop-finding-reset", args=["back_short"]))
    assert answer.status_code == 302
    usual = next(row.usual_mm for row in offered("coat") if row.id == "back_short")
    assert usual is not None
    assert usual[1] == 8
    # What was logged stays as it was logged.
    assert "Accept 11 mm" in text(room.client.get(room.fitting.get_absolute_url()))


def test_finding_switched_off_is_offered_no_more(room: Room, owner: Signed) -> None:
    edit(owner[0], "back_short", switched_off="on")
    assert see(room, "back_short").status_code == 422
    assert not Entry.objects.exists()


def test_finding_of_the_shops_own_is_logged_and_answered(room: Room, owner: Signed) -> None:
    sent = {
        "place": "coat/fronts",
        "name": "Pocket gapes",
        "seen": "The pocket mouth stands open.",
        "remedy": "Draw the mouth in",
        "usual": "0.5",
        "sided": "on",
        "piece": "forepart",
        "edge": "pocket mouth",
        "direction": "ease the edge in, so that the mouth closes",
        "acts": "on the whole",
    }
    bad = owner[0].post(reverse("shop-finding-new"), {**sent, "direction": ""})
    assert bad.status_code == 422
    assert owner[0].post(reverse("shop-finding-new"), sent).status_code == 302
    row = ShopFinding.objects.get()
    assert "Draw the mouth in, 5 mm" in text(see(room, row.rule, "left"))
    listed = owner[0].get(reverse("shop-findings"), {"garment": "coat"})
    assert "Pocket gapes" in text(listed)


def test_change_over_somebody_elses_is_shown_beside(owner: Signed) -> None:
    edit(owner[0], "back_short", name="Back short")
    answer = edit(owner[0], "back_short", name="Back too short", version="1")
    assert answer.status_code == 302
    again = edit(owner[0], "back_short", name="Short back", version="1")
    assert again.status_code == 409
    assert ShopFinding.objects.get().name == "Back too short"


def test_catalogue_page_asks_no_more_often_with_many_own_rows(
    owner: Signed,
) -> None:
    def fill(count: int) -> None:
        for _ in range(count):
            rule = f"own_{uuid.uuid4().hex[:8]}"
            facts = {"garment": "coat", "check_id": "fronts", "name": "Own", "usual_mm": 5}
            ShopFinding.objects.create(rule=rule, is_own=True, **facts)

    fill(1)
    address = reverse("shop-findings")
    few = queries(lambda: owner[0].get(address))
    fill(30)
    many = queries(lambda: owner[0].get(address))
    assert many == few


def test_signed_row_keeps_its_work_when_the_catalogue_changes_later(
    room: Room, owner: Signed
) -> None:
    see(room, "back_short")
    accept_all(room, "balance")
    room.sign()
    edit(owner[0], "back_short", usual="1.3")
    assert room.post("fitting-ticket", {}, plain=True).status_code == 302
    assert Ticket.objects.get().content["lines"][0]["shift_mm"] == 8
