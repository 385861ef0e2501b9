"""Two people at one fitting: what they say otherwise is shown side by side, never overwritten."""

import datetime as dt
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.fitting_room.entries import add_entry
from fittings.models import Decision, Entry, Fitting
from fittings.views import fitting_room
from tailorshop.models import Role
from tests.factories import UserFactory
from tests.fitting.conftest import Room, text

UNSEEN = "without seeing each other"


@pytest.fixture
def other(room: Room) -> Room:
    user = UserFactory(role=Role.FITTER, units="mm", first_name="Odo", last_name="Sample")
    client = Client()
    client.force_login(user)
    return Room(client, room.fitting)


def check(room: Room, state: str, over: str, **given: Any) -> Any:
    return room.post("fitting-entry", {"check": "balance", "state": state, "over": over, **given})


def test_check_said_the_same_by_two_needs_no_choice(room: Room, other: Room) -> None:
    check(room, "settled", "")
    assert UNSEEN not in text(check(other, "settled", ""))


def test_check_said_otherwise_by_who_saw_the_first_is_a_change_of_mind(
    room: Room, other: Room
) -> None:
    check(room, "settled", "")
    assert UNSEEN not in text(check(other, "open", str(Entry.objects.get().pk)))


def test_check_said_otherwise_unseen_shows_both_until_one_chooses(room: Room, other: Room) -> None:
    check(room, "settled", "")
    said = text(check(other, "open", ""))
    assert UNSEEN in said
    assert "Odo Sample still open" in said
    assert Entry.objects.standing().count() == 2
    shown = Entry.objects.order_by("made_at").last()
    assert shown is not None
    assert UNSEEN not in text(check(room, "settled", str(shown.pk)))


def test_check_that_comes_late_from_a_device_is_shown_beside_what_was_said_meanwhile(
    room: Room, other: Room
) -> None:
    check(other, "open", "")
    early = (timezone.now() - dt.timedelta(minutes=20)).isoformat()
    assert UNSEEN in text(check(room, "settled", "", made_at=early))


def test_decision_of_two_the_same_needs_no_choice(room: Room, other: Room) -> None:
    room.cuff()
    room.decide("accepted", over="")
    assert UNSEEN not in text(other.decide("accepted", over=""))


def test_decision_by_who_saw_the_first_replaces_it(room: Room, other: Room) -> None:
    room.cuff()
    room.decide("accepted", over="")
    seen = str(Decision.objects.get().pk)
    other.decide("refused", over=seen, because="It hangs well enough")
    assert Decision.objects.standing().get().verdict == "refused"
    assert UNSEEN not in other.page()


def test_decision_of_two_otherwise_shows_both_and_cannot_be_signed_until_one_chooses(
    room: Room, other: Room
) -> None:
    room.cuff()
    room.decide("accepted", over="")
    first = Decision.objects.get()
    said = text(other.decide("refused", over="", because="This cloth does not allow it"))
    assert UNSEEN in said
    assert "This cloth does not allow it" in said
    assert Decision.objects.standing().get() == first
    assert room.sign().status_code == 422
    assert Fitting.objects.get().signed_at is None
    room.decide("refused", over=str(first.pk), because="It hangs well enough")
    assert UNSEEN not in room.page()
    assert room.sign().status_code == 302


def test_page_without_script_says_nothing_of_what_it_saw_and_replaces(
    room: Room, other: Room
) -> None:
    room.cuff()
    room.decide("accepted")
    other.decide("refused", because="It hangs well enough")
    assert Decision.objects.standing().get().verdict == "refused"


def test_entry_kept_while_the_page_is_read_is_newer_than_the_mark_of_that_page(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else the device takes itself to have seen it, and never asks for it."""
    reads = fitting_room.room

    def read_then_kept(*args: Any, **given: Any) -> dict[str, Any]:
        context = reads(*args, **given)
        said = {"check": "balance", "state": "open"}
        at = timezone.now()
        add_entry(
            room.fitting, side="", kind="check", data=said, by=room.fitting.fitter, made_at=at
        )
        return context

    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(fitting_room, "room", read_then_kept)
        page = room.client.get(room.fitting.get_absolute_url()).content.decode()
    marked = re.search(r'data-mark="([^"]+)"', page)
    assert marked is not None
    seen = {"HTTP_IF_NONE_MATCH": f'"{marked[1]}"'}
    changes = reverse("fitting-changes", args=[room.fitting.pk])
    assert room.client.get(changes, **seen).status_code == 200
