"""An answer lost on the way, so that the device sends again: kept once, whatever came between."""

import uuid
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from fittings.forms.fitting import AMENDED_BECAUSE
from fittings.models import Decision, Entry
from tests.fitting.conftest import Room, text

MADE = "2026-02-03T10:15:30+00:00"


def check(room: Room, state: str = "settled", **given: Any) -> Any:
    return room.post("fitting-entry", {"check": "balance", "state": state, **given})


def acts(entry: Entry) -> int:
    """How often the record of this entry was written."""
    history: Any = entry.history
    return int(history.count())


def test_check_sent_twice_is_kept_once_at_the_time_of_the_device(room: Room) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert check(room, identity=identity, made_at=MADE).status_code == 200
    kept = Entry.objects.get()
    assert (str(kept.pk), kept.made_at) == (identity, parse_datetime(MADE))


def test_all_settled_sent_twice_is_kept_once(room: Room) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        room.post(
            "fitting-entry", {"check": "shoulders", "state": "all-settled", "identity": identity}
        )
    assert sorted(e.data["check"] for e in Entry.objects.all()) == ["balance", "shoulders"]


def test_taking_back_sent_again_leaves_what_was_put_back_meanwhile(room: Room) -> None:
    room.cuff()
    entry = Entry.objects.get()
    first = {"identity": str(uuid.uuid4()), "made_at": MADE}
    room.post("fitting-entry-remove", first, entry.pk)
    entry.refresh_from_db()
    assert entry.removed_at == parse_datetime(MADE)
    room.post("fitting-entry-remove", {"back": "1", "identity": str(uuid.uuid4())}, entry.pk)
    written = acts(entry)
    assert room.post("fitting-entry-remove", first, entry.pk).status_code == 200
    entry.refresh_from_db()
    assert entry.removed_at is None
    assert acts(entry) == written


def test_putting_back_sent_again_leaves_what_was_taken_back_meanwhile(room: Room) -> None:
    room.cuff()
    entry = Entry.objects.get()
    room.post("fitting-entry-remove", {}, entry.pk)
    back = {"back": "1", "identity": str(uuid.uuid4())}
    room.post("fitting-entry-remove", back, entry.pk)
    room.post("fitting-entry-remove", {}, entry.pk)
    assert room.post("fitting-entry-remove", back, entry.pk).status_code == 200
    entry.refresh_from_db()
    assert entry.removed_at is not None


def test_act_under_the_mark_of_its_opposite_is_refused(room: Room) -> None:
    room.cuff()
    entry = Entry.objects.get()
    mark = {"identity": str(uuid.uuid4())}
    room.post("fitting-entry-remove", mark, entry.pk)
    answer = room.post("fitting-entry-remove", {"back": "1", **mark}, entry.pk)
    assert answer.status_code == 422
    assert "Something else was kept under the same mark" in text(answer)
    entry.refresh_from_db()
    assert entry.removed_at is not None


def test_other_reading_under_the_same_mark_is_refused_in_a_sentence(room: Room) -> None:
    identity = str(uuid.uuid4())
    room.cuff("60", identity=identity)
    answer = room.cuff("50", identity=identity)
    assert answer.status_code == 422
    assert "Something else was kept under the same mark" in text(answer)
    assert Entry.objects.get().data["cuff_offset_mm"] == 60


def test_decision_sent_again_after_the_readings_changed_is_answered_as_then(room: Room) -> None:
    room.cuff()
    identity = str(uuid.uuid4())
    room.decide("accepted", identity=identity, made_at=MADE)
    assert Decision.objects.get().decided_at == parse_datetime(MADE)
    room.post("fitting-entry-remove", {}, Entry.objects.get().pk)
    assert room.decide("accepted", identity=identity).status_code == 200
    assert Decision.objects.count() == 1


def test_other_decision_under_the_same_mark_is_refused_in_a_sentence(room: Room) -> None:
    room.cuff()
    identity = str(uuid.uuid4())
    room.decide("accepted", identity=identity)
    answer = room.decide("refused", identity=identity, because="It hangs well enough")
    assert answer.status_code == 422
    assert Decision.objects.get().verdict == "accepted"


def test_other_amount_under_the_same_mark_is_refused_in_a_sentence(room: Room) -> None:
    room.cuff()
    mark = {"identity": str(uuid.uuid4()), "way": "plus", "because": AMENDED_BECAUSE[0]}
    assert room.decide("amended", amount="5", **mark).status_code == 200
    answer = room.decide("amended", amount="6", **mark)
    assert answer.status_code == 422
    assert "Something else was kept under the same mark" in text(answer)
    assert room.decide("amended", amount="5", **mark).status_code == 200
    assert Decision.objects.get().amount_mm == 5


def test_mark_of_the_page_stays_until_something_is_kept(room: Room) -> None:
    address = reverse("fitting-changes", args=[room.fitting.pk])
    seen = room.client.get(address)["ETag"]
    assert seen.strip('"') in room.page()
    unmoved = room.client.get(address, headers={"If-None-Match": seen})
    assert (unmoved.status_code, unmoved.content) == (304, b"")
    for step in (
        lambda: room.cuff(),
        lambda: room.decide("accepted"),
        lambda: room.post("fitting-entry-remove", {}, Entry.objects.get().pk),
        lambda: room.post("fitting-entry-remove", {"back": "1"}, Entry.objects.get().pk),
        lambda: check(room),
        lambda: room.sign(),
    ):
        step()
        moved = room.client.get(address, headers={"If-None-Match": seen})
        assert moved.status_code == 200
        assert moved["ETag"] != seen
        seen = moved["ETag"]


def test_mark_asks_the_database_as_often_with_many_entries(
    room: Room, django_assert_max_num_queries: Any
) -> None:
    address = reverse("fitting-changes", args=[room.fitting.pk])
    for count in (1, 12):
        for number in range(count):
            Entry.objects.create(
                fitting=room.fitting,
                kind="note",
                data={"text": f"Note {number}"},
                made_at=timezone.now(),
                made_by=room.fitting.fitter,
            )
        with django_assert_max_num_queries(4):
            room.client.get(address)
