"""Measuring a photograph on its page. Expected angles are worked by hand in `wearer`."""

import uuid

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.fitting_room.proposals import one_side
from fittings.models import ArmCarriage, Entry, EntryKind, Fitting, Photograph
from fittings.photographs.measuring import measured_on
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import ArmCarriageFactory, FittingFactory, PatternVersionFactory
from tests.photographs.wearer import (
    ARM,
    ARM_DEG,
    PLUMB,
    RULE,
    SLEEVE,
    measure,
    mirrored,
    photograph_of,
)


@pytest.fixture
def fitting(fitter: Signed) -> Fitting:
    return FittingFactory(order__pattern_version=PatternVersionFactory(), fitter=fitter[1])


@pytest.fixture
def picture(fitter: Signed, fitting: Fitting) -> Photograph:
    return photograph_of(fitting, fitter[1])


@pytest.fixture
def client(fitter: Signed) -> Client:
    return fitter[0]


def shown(client: Client, picture: Photograph, asked: str = "") -> str:
    return client.get(reverse("photograph-measure", args=[picture.pk]) + asked).content.decode()


def readings(fitting: Fitting) -> list[Entry]:
    return [e for e in fitting.entries.standing() if e.kind == EntryKind.READING]


# --- nothing to correct, and what is not kept


def test_an_arm_on_its_sleeve_is_kept_as_a_pitch_of_nothing_and_proposes_nothing(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    same = {name.replace("arm", "sleeve"): place for name, place in ARM.items()}
    measure(client, picture, ARM | same)
    assert readings(fitting)[0].data["angle_deg"] == 0
    assert one_side(fitting, "left").proposed == ()


def test_an_arm_half_touched_is_not_kept_and_says_what_is_missing(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    answer = measure(client, picture, {"arm_top": (50, 20), "arm_elbow": (45, 40)})
    assert answer.status_code == 422
    assert "Touch the middle of the wearer&#x27;s left wrist as well." in answer.content.decode()
    assert 'value="45"' in answer.content.decode()
    assert not fitting.entries.exists()


def test_a_sleeve_half_touched_is_not_left_out_silently(
    client: Client, picture: Photograph
) -> None:
    answer = measure(client, picture, ARM | {"sleeve_top": (50, 20)})
    assert answer.status_code == 422
    assert "left sleeve at the elbow as well" in answer.content.decode()


@pytest.mark.parametrize("wrong", ["", "101", "-1", "nan", "x"])
def test_a_place_outside_of_the_picture_is_not_kept(
    client: Client, picture: Photograph, fitting: Fitting, wrong: str
) -> None:
    answer = measure(client, picture, ARM, arm_end_x=wrong)
    assert answer.status_code == 422
    assert not fitting.entries.exists()


def test_an_arm_touched_from_the_wrist_up_is_refused_with_what_to_do(
    client: Client, picture: Photograph
) -> None:
    upward = {"arm_top": (40, 60), "arm_elbow": (45, 40), "arm_end": (50, 20)}
    answer = measure(client, picture, upward)
    assert answer.status_code == 422
    assert "touch from the shoulder down" in answer.content.decode()


def test_a_detail_is_not_measured_because_it_does_not_say_where_the_front_is(
    client: Client, fitter: Signed, fitting: Fitting
) -> None:
    detail = photograph_of(fitting, fitter[1], "detail-left")
    answer = client.get(reverse("photograph-measure", args=[detail.pk]))
    assert answer.status_code == 422
    assert "say first from where" in answer.content.decode()


def test_without_consent_the_page_is_not_there(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = None
    customer.save()
    assert client.get(reverse("photograph-measure", args=[picture.pk])).status_code == 404


# --- what is kept


def test_arm_and_sleeve_become_a_reading_of_the_pitch_with_its_own_noise(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    assert measure(client, picture, ARM | SLEEVE | PLUMB).status_code == 302
    (reading,) = readings(fitting)
    assert reading.side == "left"
    assert reading.data["angle_deg"] == pytest.approx(ARM_DEG, abs=0.05)
    assert 0.5 < reading.data["sigma_deg"] < 3.0
    assert reading.data["detail"]["photograph"] == str(picture.pk)
    (proposed,) = one_side(fitting, "left").proposed
    # 480 mm of armhole turn 360 degrees: 10.6 degrees are 14.1 mm.
    assert proposed.correction.shift_mm == pytest.approx(10.6 * 480 / 360, abs=0.05)


def test_the_wearers_right_from_the_right_is_the_mirror_and_reads_the_same(
    client: Client, fitter: Signed, fitting: Fitting
) -> None:
    measure(client, photograph_of(fitting, fitter[1], "right"), mirrored(ARM | SLEEVE))
    (reading,) = readings(fitting)
    assert reading.side == "right"
    assert reading.data["angle_deg"] == pytest.approx(ARM_DEG, abs=0.05)


def test_all_of_it_is_said_in_a_note_that_stands_on_the_fitting_page(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    measure(client, picture, ARM)
    note = fitting.entries.get()
    assert note.kind == EntryKind.NOTE
    assert note.data["text"].startswith("Photograph from the wearer's left: arm 10.6° (give or")
    assert "forward of plumb; elbow bent 0.0°" in note.data["text"]
    assert "arm 10.6°" in client.get(fitting.get_absolute_url()).content.decode()


def test_the_fitting_page_says_that_the_pitch_was_measured_on_a_photograph(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    measure(client, picture, ARM | SLEEVE)
    page = client.get(fitting.get_absolute_url()).content.decode()
    assert "10.6° forward of the sleeve, measured on a photograph" in page


def test_from_behind_the_arm_is_read_outward_and_never_as_pitch(
    client: Client, fitter: Signed, fitting: Fitting
) -> None:
    measure(client, photograph_of(fitting, fitter[1], "back"), ARM | SLEEVE, side="left")
    assert readings(fitting) == []
    assert "10.6°" in fitting.entries.get().data["text"]
    assert "out from the body" in fitting.entries.get().data["text"]


def test_a_crooked_camera_is_put_right_by_the_plumb_line(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    """The plumb line drawn as the arm is: then the arm hangs plumb."""
    along = {"plumb_upper": (30, 20), "plumb_lower": (20, 60)}
    measure(client, picture, ARM | along)
    assert "arm 0.0°" in fitting.entries.get().data["text"]


def test_a_known_length_gives_the_cuffs_offset_in_mm_instead_of_the_angle(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    """The rule is drawn 240 high and 300 mm long: 1.25 mm a pixel. At the cuff's level, 304 down,
    the arm stands 304 tan = 57 pixels forward, 71.25 mm, 380 mm below the head."""
    measure(client, picture, ARM | SLEEVE | RULE, rule="30 cm")
    (reading,) = readings(fitting)
    assert reading.data["cuff_offset_mm"] == pytest.approx(71.25, abs=0.1)
    assert reading.data["drop_mm"] == 380
    assert "angle_deg" not in reading.data


def test_a_known_length_that_is_not_said_is_asked_for(client: Client, picture: Photograph) -> None:
    answer = measure(client, picture, ARM | RULE)
    assert answer.status_code == 422
    assert "Write how long it is" in answer.content.decode()


def test_sent_twice_it_is_kept_once(client: Client, picture: Photograph, fitting: Fitting) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert measure(client, picture, ARM | SLEEVE, identity=identity).status_code == 302
    assert fitting.entries.count() == 2


def test_measured_again_it_takes_back_what_was_measured_before(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    measure(client, picture, ARM | SLEEVE)
    measure(client, picture, ARM | SLEEVE | {"sleeve_end": (48, 58)})
    assert fitting.entries.count() == 4
    assert len(measured_on(picture, "left")) == len(fitting.entries.standing()) == 2


def test_opened_again_the_touches_lie_where_they_were_put(
    client: Client, picture: Photograph
) -> None:
    measure(client, picture, ARM | {"arm_end": (40.25, 60.5)})
    page = shown(client, picture)
    assert 'value="40.25"' in page
    assert 'value="60.50"' in page


def test_of_the_whole_garment_each_arm_is_measured_by_itself(
    client: Client, fitter: Signed, fitting: Fitting
) -> None:
    behind = photograph_of(fitting, fitter[1], "back")
    measure(client, behind, ARM, side="left")
    assert 'value="45.00"' in shown(client, behind, "?side=left")
    right = shown(client, behind, "?side=right")
    assert 'value="45.00"' not in right
    assert "wearer&#x27;s right shoulder point" in right


def test_after_signing_it_is_added_and_what_was_signed_stays(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    measure(client, picture, ARM | SLEEVE)
    Fitting.objects.filter(pk=fitting.pk).update(signed_at=timezone.now())
    measure(client, picture, ARM)
    assert fitting.entries.standing().filter(after_signing=False).count() == 2
    assert fitting.entries.standing().filter(after_signing=True).count() == 1


def test_a_measured_photograph_is_not_said_to_be_seen_from_elsewhere(
    client: Client, picture: Photograph
) -> None:
    """It would turn forward into back."""
    measure(client, picture, ARM)
    address = reverse("photograph-change", args=[picture.pk])
    answer = client.post(address, {"act": "describe", "shows": "right", "note": ""})
    assert answer.status_code == 422
    assert "measured" in answer.content.decode()
    picture.refresh_from_db()
    assert picture.view == "left"


# --- into the customer's record


def carry(client: Client, picture: Photograph, seen: str) -> int:
    address = reverse("photograph-carriage", args=[picture.pk])
    return client.post(address, {"side": "left", "seen": seen}).status_code


def test_how_the_arm_hangs_is_written_down_and_what_is_not_seen_is_kept(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    last = ArmCarriageFactory(customer=fitting.order.customer, side="left", inward_turn_deg=8)
    measure(client, picture, ARM)
    assert carry(client, picture, f"{last.pk}.{last.version}") == 302
    arm = ArmCarriage.objects.filter(side="left").first()
    assert arm is not None
    assert arm.pk != last.pk
    assert arm.observed_on == fitting.held_on
    assert float(arm.forward_hang_deg or 0) == pytest.approx(ARM_DEG, abs=0.05)
    assert arm.inward_turn_deg == 8


def test_what_somebody_else_wrote_down_meanwhile_is_not_written_over(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    measure(client, picture, ARM)
    ArmCarriageFactory(customer=fitting.order.customer, side="left")
    assert carry(client, picture, "") == 409
    assert ArmCarriage.objects.count() == 1


def test_nothing_measured_is_nothing_written_down(client: Client, picture: Photograph) -> None:
    assert carry(client, picture, "") == 422
    assert not ArmCarriage.objects.exists()


# --- the page


def test_every_touch_is_asked_for_in_words_with_the_side_in_them(
    client: Client, picture: Photograph
) -> None:
    page = shown(client, picture)
    for words in (
        "the wearer&#x27;s left shoulder point",
        "the middle of the wearer&#x27;s left elbow",
        "the middle of the wearer&#x27;s left cuff&#x27;s edge",
    ):
        assert f'data-asks="{words}"' in page


@pytest.mark.parametrize(("shows", "edge"), [("left", "left"), ("right", "right")])
def test_the_page_says_at_which_edge_the_front_is(
    client: Client, fitter: Signed, fitting: Fitting, shows: str, edge: str
) -> None:
    page = shown(client, photograph_of(fitting, fitter[1], shows))
    assert f'<span class="edge-word {edge}">Front</span>' in page


def test_the_page_asks_the_database_no_more_when_much_was_entered(
    client: Client, picture: Photograph, fitting: Fitting
) -> None:
    measure(client, picture, ARM | SLEEVE)
    few = queries(lambda: shown(client, picture))
    for _ in range(5):
        measure(client, picture, ARM | SLEEVE)
        photograph_of(fitting, fitting.fitter)
    assert queries(lambda: shown(client, picture)) == few
