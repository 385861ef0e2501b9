"""Entries stand in the order in which they were made, whatever the clock of the shop does."""

import datetime as dt
import uuid

import pytest
import time_machine
from django.utils import timezone

from fittings.fitting_room.history import happened
from fittings.fitting_room.said import entry_said
from fittings.fitting_room.undo import last_step, undo
from fittings.models import Entry
from tests.fitting.conftest import Room

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 10, 24, 12, 0, tzinfo=dt.UTC)
YEAR = dt.timedelta(days=366)
STEP = dt.timedelta(minutes=5)


def check(room: Room, state: str, made_at: str = "") -> Entry:
    identity = str(uuid.uuid4())
    said = {"check": "balance", "state": state, "identity": identity, "made_at": made_at}
    assert room.post("fitting-entry", said, plain=True).status_code == 302
    return Entry.objects.get(pk=identity)


@pytest.mark.parametrize(
    ("jumps", "by_script"),
    [((-YEAR, YEAR), True), ((-STEP,), True), ((YEAR, -YEAR), True), ((YEAR, -YEAR), False)],
)
def test_entries_stand_as_they_were_made_however_the_shop_clock_jumps(
    room: Room, jumps: tuple[dt.timedelta, ...], by_script: bool
) -> None:
    """The device's own clock goes on as it should; without script it says nothing."""
    made = []
    with time_machine.travel(NOW, tick=False) as clock:
        for minute, jump in enumerate((dt.timedelta(), *jumps)):
            clock.shift(jump)
            room.client.force_login(room.fitting.fitter)  # a year ends the session
            for second in (1, 2):
                device = NOW + dt.timedelta(minutes=minute, seconds=second)
                clock.shift(second)
                said = device.isoformat() if by_script else ""
                made.append(check(room, ("open", "settled")[second - 1], said))
        assert list(room.fitting.entries.all()) == made
        rows = happened(room.fitting, "mm")
        assert [row.words for row in rows][::2] == [entry_said(made[-1], "mm")] * (len(made) // 2)
        for last in reversed(made):
            step = last_step(room.fitting)
            assert step is not None
            assert step.entries == (last,)
            undo(room.fitting, last.pk, by=room.fitting.fitter, at=timezone.now())
    assert [row.what for row in happened(room.fitting, "mm")] == [
        *["Taken back"] * len(made),
        *["Entered"] * len(made),
    ]


def test_what_was_decided_before_the_clock_went_back_is_not_the_last_step(room: Room) -> None:
    with time_machine.travel(NOW, tick=False) as clock:
        room.client.force_login(room.fitting.fitter)
        room.cuff()
        room.decide("accepted")
        clock.move_to(NOW - dt.timedelta(hours=1))
        room.settle()
        step = last_step(room.fitting)
        assert step is not None
        assert step.entries[-1].data["check"] == "shoulders"
        clock.shift(-60)
        room.decide("refused", because="It hangs well enough")
        step = last_step(room.fitting)
        assert step is not None
        assert [decision.verdict for decision in step.decisions] == ["refused"]


def test_what_waited_on_a_device_stands_before_what_was_made_after_it(room: Room) -> None:
    """Two tablets: one of them without network from 12:01 to 12:10."""
    with time_machine.travel(NOW, tick=False) as clock:
        made = {0: check(room, "open")}
        for minute in (2, 4):
            clock.move_to(NOW + dt.timedelta(minutes=minute))
            made[minute] = check(room, "settled")
        clock.move_to(NOW + dt.timedelta(minutes=10))
        for minute in (1, 3, 5):
            said = (NOW + dt.timedelta(minutes=minute)).isoformat()
            made[minute] = check(room, "open", said)
    assert list(room.fitting.entries.all()) == [made[minute] for minute in range(6)]
