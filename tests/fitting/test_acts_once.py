"""What makes no row of its own, sent again as its answer was lost: done once, as said first."""

import datetime as dt
import re
import uuid
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.models import Act, Customer, Decision, Entry, Photograph, PhotographMark
from tests.conftest import Signed
from tests.fitting.conftest import HTMX, Room, text
from tests.photographs.wearer import ARM, measure, photograph_of

MADE = "2026-02-03T10:15:30+00:00"


def tap(**given: Any) -> dict[str, Any]:
    return {"identity": str(uuid.uuid4()), "made_at": MADE, **given}


def later(minutes: int) -> str:
    return (dt.datetime.fromisoformat(MADE) + dt.timedelta(minutes=minutes)).isoformat()


def undo(room: Room, **given: Any) -> Any:
    return room.post("fitting-undo", tap(**given))


# --- undo


def test_undo_of_what_came_of_no_tap_takes_nothing_back_and_says_so(room: Room) -> None:
    room.cuff()
    answer = undo(room, tap=str(uuid.uuid4()))
    assert answer.status_code == 200
    assert "nothing of it was kept" in text(answer)
    assert Entry.objects.standing().count() == 1


def test_undo_sent_again_leaves_the_step_before_and_what_was_put_back_since(room: Room) -> None:
    room.cuff("50", made_at=MADE)
    room.cuff("60", made_at=later(1))
    last = Entry.objects.order_by("made_at").last()
    assert last is not None
    sent = tap(step=str(last.pk), made_at=later(2))
    first = room.post("fitting-undo", sent)
    last.refresh_from_db()
    assert last.removed_at == dt.datetime.fromisoformat(later(2))
    room.post("fitting-entry-remove", {"back": "1"}, last.pk)
    again = room.post("fitting-undo", sent)
    assert (first.status_code, again.status_code) == (200, 200)
    assert "Undone: Cuff" in text(first)
    assert "Undone: Cuff" in text(again)
    assert Entry.objects.standing().count() == 2


def test_undo_under_the_mark_of_another_is_refused(room: Room) -> None:
    room.cuff("50")
    room.cuff("60")
    one, other = Entry.objects.all()
    sent = tap(step=str(one.pk))
    room.post("fitting-undo", sent)
    answer = room.post("fitting-undo", {**sent, "step": str(other.pk)})
    assert answer.status_code == 422
    assert "Something else was kept under the same mark" in text(answer)
    assert list(Entry.objects.standing()) == [other]


def test_undo_that_waited_takes_back_what_it_showed_and_not_what_another_entered_since(
    room: Room, other: Room
) -> None:
    room.cuff("50", made_at=MADE)
    shown = Entry.objects.get()
    other.read("length", way="plus", by="8", made_at=later(1))
    assert undo(room, step=str(shown.pk), made_at=later(0)).status_code == 200
    assert Entry.objects.standing().get().made_by != shown.made_by


def test_undo_that_waited_while_the_fitting_was_signed_is_refused(room: Room) -> None:
    room.cuff()
    room.decide("accepted")
    decision, entry = Decision.objects.get(), Entry.objects.get()
    room.sign()
    for step in (decision.pk, entry.pk):
        answer = undo(room, step=str(step))
        assert answer.status_code == 409
        assert "signed" in text(answer)
    decision.refresh_from_db()
    assert decision.withdrawn_at is None
    assert not Act.objects.filter(kind="undo").exists()


@pytest.mark.parametrize(
    ("name", "sent", "made"),
    [
        ("fitting-entry", {"check": "balance", "state": "settled"}, 1),
        ("fitting-entry", {"check": "collar", "state": "all-settled"}, 3),
        ("fitting-finding", {"finding": "waist_tight", "side": "both"}, 2),
    ],
)
def test_undo_by_the_mark_of_the_tap_takes_back_all_that_it_made(
    room: Room, name: str, sent: dict[str, str], made: int
) -> None:
    mark = str(uuid.uuid4())
    room.post(name, {**sent, "identity": mark, "made_at": MADE})
    assert Entry.objects.standing().count() == made
    undo(room, tap=mark, made_at=later(1))
    assert Entry.objects.standing().count() == 0


def test_undo_by_the_mark_of_accepting_all_withdraws_every_one(room: Room) -> None:
    shown = two_found(room)
    mark = tap(check="waist", one=shown)
    room.post("fitting-accept-all", mark)
    assert Decision.objects.standing().count() == 2
    undo(room, tap=mark["identity"])
    assert Decision.objects.standing().count() == 0


# --- accepting all


def two_found(room: Room) -> list[str]:
    room.post("fitting-finding", tap(finding="waist_tight", side="both"))
    return [
        f"{entry.side}|garment:waist_tight|{entry.data['row']['usual_mm'][1]}"
        for entry in Entry.objects.filter(kind="finding")
    ]


def test_accept_all_sent_again_leaves_withdrawn_what_was_undone_meanwhile(room: Room) -> None:
    sent = tap(check="waist", one=two_found(room))
    first = room.post("fitting-accept-all", sent)
    decision = Decision.objects.standing().first()
    assert decision is not None
    undo(room, step=str(decision.pk))
    again = room.post("fitting-accept-all", sent)
    for answer in (first, again):
        assert answer.status_code == 200
        assert "Accepted, 2 in all" in text(answer)
    assert Decision.objects.count() == 2
    assert Decision.objects.standing().count() == 0


def test_accept_all_sent_again_after_what_was_seen_changed_is_answered_as_then(room: Room) -> None:
    sent = tap(check="waist", one=two_found(room))
    room.post("fitting-accept-all", sent)
    for entry in Entry.objects.filter(kind="finding"):
        room.post("fitting-entry-remove", {}, entry.pk)
    assert room.post("fitting-accept-all", sent).status_code == 200
    assert Decision.objects.count() == 2


def test_accept_all_with_others_under_the_same_mark_is_refused(room: Room) -> None:
    shown = two_found(room)
    sent = tap(check="waist", one=shown[:1])
    room.post("fitting-accept-all", sent)
    assert room.post("fitting-accept-all", {**sent, "one": shown}).status_code == 422
    assert Decision.objects.count() == 1


# --- consents


def says(room: Room, what: str, **given: Any) -> Any:
    return room.post("fitting-consent", tap(consent="photographs", says=what, **given))


def agreed(room: Room) -> dt.date | None:
    return Customer.objects.get(pk=room.fitting.order.customer_id).fitting_photo_consent_on


def test_consent_that_waited_has_the_day_on_which_it_was_said(room: Room) -> None:
    assert "agreed to on 3 Feb 2026" in text(says(room, "agreed"))
    assert agreed(room) == dt.date(2026, 2, 3)


def test_yes_sent_again_never_overrules_the_no_that_came_between(room: Room) -> None:
    yes = tap(consent="photographs", says="agreed")
    room.post("fitting-consent", yes)
    says(room, "withdrawn", made_at=later(5))
    assert room.post("fitting-consent", yes).status_code == 200
    assert agreed(room) is None


def test_yes_that_was_long_on_its_way_is_refused_after_a_later_no(room: Room, other: Room) -> None:
    says(other, "agreed", made_at=later(1))
    says(other, "withdrawn", made_at=later(5))
    answer = says(room, "agreed", made_at=later(3))
    assert answer.status_code == 422
    assert "was taken back 3 Feb" in text(answer)
    assert agreed(room) is None
    assert says(room, "agreed", made_at=later(6)).status_code == 200
    assert agreed(room) == dt.date(2026, 2, 3)


def test_yes_is_refused_after_a_no_in_the_customers_form(room: Room) -> None:
    says(room, "agreed")
    customer = Customer.objects.get()
    customer.fitting_photo_consent_on = None
    customer.save()
    assert says(room, "agreed", made_at=later(5)).status_code == 422
    assert says(room, "agreed", made_at=timezone.now().isoformat()).status_code == 200


def test_no_always_counts_however_late_it_comes(room: Room, other: Room) -> None:
    says(other, "agreed", made_at=later(5))
    assert says(room, "withdrawn", made_at=later(3)).status_code == 200
    assert agreed(room) is None


def test_no_under_the_mark_of_the_yes_is_refused(room: Room) -> None:
    mark = str(uuid.uuid4())
    says(room, "agreed", identity=mark)
    assert says(room, "withdrawn", identity=mark).status_code == 422
    assert agreed(room) == dt.date(2026, 2, 3)


def on_page(room: Room) -> str:
    """How often the page of this device shows the consent as taken back."""
    found = re.search(r'value="photographs">.*?name="over" value="(\d+)"', room.page())
    assert found is not None
    return found[1]


@pytest.mark.parametrize("in_form", [True, False])
def test_no_of_a_clock_that_ran_ahead_blocks_no_yes_of_whoever_had_it_on_the_page(
    room: Room, other: Room, in_form: bool
) -> None:
    now, before = timezone.now(), on_page(room)
    with time_machine.travel(now + dt.timedelta(minutes=20), tick=False):
        says(other, "agreed", made_at="", over=before)
        if in_form:
            customer = Customer.objects.get()
            customer.fitting_photo_consent_on = None
            customer.save()
        else:
            says(other, "withdrawn", made_at="")
    with time_machine.travel(now + dt.timedelta(minutes=1), tick=False):
        assert says(room, "agreed", made_at="", over=before).status_code == 422
        assert agreed(room) is None
        assert says(room, "agreed", made_at="", over=on_page(room)).status_code == 200
        assert agreed(room) == timezone.localdate()


@pytest.mark.parametrize("wrong", [dt.timedelta(hours=3), dt.timedelta(days=-9999)])
def test_yes_and_no_of_devices_whose_clocks_are_wrong_are_told_in_their_order(
    room: Room, other: Room, wrong: dt.timedelta
) -> None:
    """All a device sends of time: when it was said and when it was sent, both by its own clock."""
    now = timezone.now()

    def said(by: Room, what: str, minutes_ago: int) -> int:
        clock = timezone.now() + wrong
        at = (clock - dt.timedelta(minutes=minutes_ago)).isoformat()
        mark = tap(consent="photographs", says=what, made_at=at)
        address = reverse("fitting-consent", args=[by.fitting.pk])
        headers = {**HTMX, "Sent-At": clock.isoformat()}
        return by.client.post(address, mark, headers=headers).status_code

    with time_machine.travel(now, tick=False) as clock:
        assert said(other, "agreed", 0) == 200
        clock.shift(600)
        assert said(other, "withdrawn", 0) == 200
        clock.shift(600)
        assert said(room, "agreed", 15) == 422, "it was said five minutes before the no"
        assert agreed(room) is None
        assert said(room, "agreed", 5) == 200


# --- marks and measuring on a photograph


@pytest.fixture
def picture(room: Room) -> Photograph:
    return photograph_of(room.fitting, room.fitting.fitter)


def pin(client: Client, picture: Photograph, **given: Any) -> Any:
    sent = tap(**{"kind": "pin", "words": "", "pin_x": "30", "pin_y": "40"} | given)
    return client.post(reverse("photograph-marks", args=[picture.pk]), sent, headers=HTMX)


def test_mark_elsewhere_under_the_same_mark_is_refused(room: Room, picture: Photograph) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert pin(room.client, picture, identity=identity).status_code == 200
    answer = pin(room.client, picture, identity=identity, pin_x="60")
    assert answer.status_code == 422
    assert PhotographMark.objects.get().points == [[0.3, 0.4]]


def test_mark_taken_back_again_leaves_what_was_put_back_since(
    room: Room, picture: Photograph
) -> None:
    pin(room.client, picture)
    mark = PhotographMark.objects.get()
    address = reverse("photograph-mark-remove", args=[picture.pk, mark.pk])
    sent = tap()
    room.client.post(address, sent, headers=HTMX)
    mark.refresh_from_db()
    assert mark.removed_at == dt.datetime.fromisoformat(MADE)
    room.client.post(address, tap(back="1"), headers=HTMX)
    again = room.client.post(address, sent, headers=HTMX)
    assert "Taken back: Pin 1." in text(again)
    mark.refresh_from_db()
    assert mark.removed_at is None
    assert room.client.post(address, {**sent, "back": "1"}, headers=HTMX).status_code == 422


def test_other_touches_under_the_same_mark_are_refused(room: Room, picture: Photograph) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert measure(room.client, picture, ARM, identity=identity).status_code == 302
    other = measure(room.client, picture, ARM | {"arm_end": (45, 60)}, identity=identity)
    assert other.status_code == 422
    assert Entry.objects.count() == 1


def test_measuring_unseen_of_anothers_is_shown_and_puts_nothing_in_its_place(
    room: Room, other: Room, picture: Photograph
) -> None:
    assert measure(other.client, picture, ARM, over="").status_code == 302
    theirs = Entry.objects.get()
    mine = ARM | {"arm_end": (45, 60)}
    answer = measure(room.client, picture, mine, over="")
    assert answer.status_code == 409
    assert f"{theirs.made_by} measured this arm" in text(answer)
    assert Entry.objects.standing().get() == theirs
    assert measure(room.client, picture, mine, over=str(theirs.pk)).status_code == 302
    assert Entry.objects.standing().get().made_by == room.fitting.fitter


def test_measuring_again_oneself_without_network_takes_the_place_of_the_first(
    room: Room, picture: Photograph
) -> None:
    for end in (60, 62):
        measure(room.client, picture, ARM | {"arm_end": (40, end)}, over="")
    assert Entry.objects.count() == 2
    assert Entry.objects.standing().count() == 1


def test_undo_takes_back_a_measured_arm_and_its_reading_in_one_step(
    room: Room, picture: Photograph
) -> None:
    sleeve = {name.replace("arm", "sleeve"): (x + 8, y) for name, (x, y) in ARM.items()}
    measure(room.client, picture, ARM | sleeve, made_at=MADE)
    assert sorted(Entry.objects.values_list("kind", flat=True)) == ["note", "reading"]
    note = Entry.objects.get(kind="note")
    undo(room, step=str(note.pk))
    assert Entry.objects.standing().count() == 0


@pytest.fixture
def other(room: Room, owner: Signed) -> Room:
    """Another person's device at the same fitting."""
    return Room(owner[0], room.fitting)
