"""What is entered at a fitting: every kind of reading, faults in it, taking back."""

import math
import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.models import Entry, Fitting
from patterns.rules.catalogue import FINDINGS
from tests.conftest import Signed
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory
from tests.fitting.conftest import Room, text

# What is tapped and typed, what the record keeps, what is said back. Lengths in mm.
READINGS: dict[str, tuple[dict[str, Any], dict[str, Any], str]] = {
    "cuff-offset": (
        {"way": "minus", "offset": "35", "drop": "580"},
        {"what": "pitch", "cuff_offset_mm": -35, "drop_mm": 580},
        "the arm stands 35 mm behind the sleeve, 580 mm below the armhole",
    ),
    "pitch-angle": (
        {"way": "plus", "angle": "7,5"},
        {"what": "pitch", "angle_deg": 7.5},
        "the arm hangs 7.5° forward of the sleeve",
    ),
    "slack": (
        {"way": "back", "depth": "8"},
        {"what": "slack", "where": "back", "depth_mm": 8},
        "Slack at the back: 8 mm pins out",
    ),
    "swing": (
        {"clears": "neither"},
        {"what": "swing_test", "clears_when_arm_goes": "neither"},
        "the folds clear neither way",
    ),
    "crease": (
        {"crease": "back unknown"},
        {"what": "crease", "where": "back", "kind": "unknown"},
        "Crease at the back: slack or strain, cannot tell",
    ),
    "elbow": (
        {"way": "minus", "turn": "12"},
        {"what": "elbow_direction", "turn_deg": -12},
        "points 12° further in than the sleeve's",
    ),
    "hindarm": (
        {"way": "minus", "by": "2", "want": "5"},
        {"what": "hindarm_shows", "by_mm": -2, "want_mm": 5},
        "is hidden by 2 mm, wanted so that it shows by 5 mm",
    ),
    "length": (
        {"way": "minus", "by": "6"},
        {"what": "length", "amount_mm": -6},
        "Length: 6 mm shorter",
    ),
    "finding": (
        {"finding": "crown_too_high", "by": ""},
        {"what": "finding", "finding": "crown_too_high"},
        "Crown too high: no amount read, the usual is 10 mm",
    ),
}


@pytest.mark.parametrize("what", READINGS)
def test_reading_is_kept_as_entered_and_said_back(room: Room, what: str) -> None:
    given, kept, said = READINGS[what]
    answer = room.read(what, "right", **given)
    assert answer.status_code == 200
    entry = Entry.objects.get()
    row = {"row": FINDINGS[given["finding"]].written()} if what == "finding" else {}
    assert entry.data == kept | row
    assert entry.side == "right"
    assert said in text(answer)
    assert f"Saved {timezone.localtime(entry.received_at):%H:%M}." in text(answer)


def test_nothing_is_proposed_where_arm_and_sleeve_are_in_line(room: Room) -> None:
    answer = room.cuff("0", way="")
    assert answer.status_code == 200
    assert Entry.objects.get().data["cuff_offset_mm"] == 0
    assert "Pitch left alone" in text(answer)
    assert "Accept" not in text(answer)


def test_finding_keeps_its_amount_when_one_was_read(room: Room) -> None:
    room.read("finding", finding="sleeve_wide", by="8")
    assert Entry.objects.get().data == {
        "what": "finding",
        "finding": "sleeve_wide",
        "amount_mm": 8,
        "row": FINDINGS["sleeve_wide"].written(),
    }


def test_inches_are_read_where_the_fitter_works_in_inches(fitter: Signed, room: Room) -> None:
    fitter[1].units = "in"
    fitter[1].save()
    room.read("length", way="plus", by="3/8")
    # an inch is 25.4 mm exactly (international yard and pound agreement, 1959)
    assert Entry.objects.get().data["amount_mm"] == pytest.approx(9.525)


def test_entry_sent_twice_is_kept_once(room: Room) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert room.cuff(identity=identity).status_code == 200
    assert Entry.objects.count() == 1


def test_plain_form_without_script_is_saved_and_led_back(room: Room) -> None:
    answer = room.cuff(plain=True)
    assert answer.status_code == 302
    assert answer["Location"].endswith(f"/fittings/{room.fitting.pk}/#side-left")
    assert Entry.objects.count() == 1


BAD: dict[str, tuple[str, dict[str, Any], str]] = {
    "no way": ("cuff-offset", {"offset": "35", "drop": "600"}, "Say which way"),
    "no amount": ("length", {"way": "plus", "by": ""}, "Say how much: tap a key or write it."),
    "not a number": ("slack", {"way": "back", "depth": "much"}, "'much' is not a length"),
    "too far": ("cuff-offset", {"way": "plus", "offset": "700", "drop": "600"}, "More than 600"),
    "not degrees": ("elbow", {"way": "plus", "turn": "a bit"}, "not a number of degrees"),
    "not finite": ("elbow", {"way": "plus", "turn": "nan"}, "not a number of degrees"),
    "half a turn": ("pitch-angle", {"way": "plus", "angle": "180"}, "Write 0 to 60 degrees"),
    "no drop": ("cuff-offset", {"way": "plus", "offset": "9", "drop": "0"}, "above zero"),
    "nothing seen": ("finding", {"by": "5"}, "Choose what is seen"),
    "slack past the pitches": ("slack", {"way": "front", "depth": "80"}, "pin it again"),
}


@pytest.mark.parametrize("case", BAD)
@pytest.mark.parametrize("plain", [False, True])
def test_bad_reading_is_answered_beside_it_and_nothing_is_lost(
    room: Room, case: str, plain: bool
) -> None:
    what, given, sentence = BAD[case]
    answer = room.read(what, plain=plain, **given)
    assert answer.status_code == 422
    assert sentence in text(answer)
    assert not Entry.objects.exists()
    page = answer.content.decode()
    for name, value in given.items():
        if value and name not in {"way", "finding"}:
            assert f'value="{value}"'.replace("'", "&#x27;") in page
    if given.get("way"):
        assert f'value="{given["way"]}"' in page
        assert "checked" in page


def test_reading_of_no_side_is_refused(room: Room) -> None:
    assert room.cuff(side="middle").status_code == 422
    assert not Entry.objects.exists()


def test_entry_taken_back_stays_visible_and_can_be_put_back(room: Room) -> None:
    room.cuff()
    entry = Entry.objects.get()
    answer = room.post("fitting-entry-remove", {}, entry.pk)
    assert "Taken back (1)" in text(answer)
    assert "Accept" not in text(answer)
    answer = room.post("fitting-entry-remove", {"back": "1"}, entry.pk)
    assert "Taken back (" not in text(answer)
    assert "Accept 7.6 mm" in text(answer)


def test_check_is_saved_at_once_and_ends_what_was_provisional(room: Room) -> None:
    assert "provisional" in text(room.cuff())
    answer = room.post("fitting-entry", {"check": "balance", "state": "settled"})
    assert "every sleeve correction is provisional" in text(answer)
    answer = room.post("fitting-entry", {"check": "shoulders", "state": "settled"})
    assert "provisional" not in text(answer)


def test_check_counts_as_said_last(room: Room) -> None:
    room.settle()
    room.post("fitting-entry", {"check": "balance", "state": "open"})
    page = room.page()
    assert 'id="balance-open" name="state" value="open" class="quiet" aria-pressed="true"' in page


def test_device_with_a_clock_ahead_does_not_date_entries_in_the_future(room: Room) -> None:
    ahead = timezone.now() + timezone.timedelta(days=2)
    room.cuff(made_at=ahead.isoformat())
    assert Entry.objects.get().made_at <= timezone.now()


def test_proposal_is_the_angle_times_the_armhole(room: Room) -> None:
    """Sleeve geometry, section 2: theta = 360 s / G; here by hand, atan(60/600) on 480 mm."""
    said = text(room.cuff())
    by_hand = 480 * math.degrees(math.atan2(60, 600)) / 360
    assert f"Accept {by_hand:.1f} mm" in said
    assert "cuff forward" in said


def test_question_stands_where_a_crease_decides_nothing(room: Room) -> None:
    said = text(room.read("crease", crease="back unknown"))
    assert "To be answered first" in said
    assert "slack or strain?" in said
    assert "Accept" not in said


def test_order_without_pattern_keeps_readings_and_says_what_is_lacking(fitter: Signed) -> None:
    fitter[1].units = "mm"
    fitter[1].save()
    bare = Room(fitter[0], FittingFactory(order=OrderFactory(), fitter=fitter[1]))
    assert reverse("pattern-new", args=[bare.fitting.order.pk]) in bare.page()
    assert bare.cuff().status_code == 200
    assert Entry.objects.count() == 1


def test_fitting_is_opened_at_the_stage_of_the_order(fitter: Signed) -> None:
    order = OrderFactory(stage="forward", pattern_version=PatternVersionFactory())
    address = reverse("fitting-new", args=[order.pk])
    page = fitter[0].get(address).content.decode()
    assert 'value="forward" id="id_stage_1" required checked' in page
    day = timezone.localdate().isoformat()
    sent = {"stage": "forward", "held_on": day, "usually_worn": "Shirt", "worn_under": ""}
    answer = fitter[0].post(address, sent)
    made = Fitting.objects.get()
    assert answer["Location"] == made.get_absolute_url()
    assert (made.stage, made.worn_under, made.fitter) == ("forward", "Shirt", fitter[1])


def test_facts_saved_by_somebody_else_meanwhile_are_shown_beside(room: Room) -> None:
    sent = {"stage": "finish", "held_on": "2026-02-02", "worn_under": "Vest", "version": "1"}
    assert room.post("fitting", sent, plain=True).status_code == 302
    answer = room.post("fitting", {**sent, "stage": "baste"}, plain=True)
    assert answer.status_code == 409
    assert "Somebody else saved this first" in text(answer)
    assert Fitting.objects.get().stage == "finish"


def test_workroom_and_strangers_have_no_fitting_page(
    workroom: Signed, fitting: Fitting, client: Client
) -> None:
    assert workroom[0].get(fitting.get_absolute_url()).status_code == 404
    assert client.get(fitting.get_absolute_url()).status_code == 302
    address = reverse("fitting-entry", args=[fitting.pk])
    assert workroom[0].post(address, {"check": "balance", "state": "open"}).status_code == 404


def test_fitting_of_an_erased_customer_has_no_page(room: Room) -> None:
    customer = room.fitting.order.customer
    customer.erased_on = timezone.localdate()
    customer.save()
    assert room.client.get(room.fitting.get_absolute_url()).status_code == 404
