"""Photographs sent to a fitting: kept once, refused in a sentence, taken back and never lost."""

import datetime as dt
import re
import uuid
from typing import Any

import pytest
from django.conf import settings
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from fittings.fitting_room.decisions import sign
from fittings.models import Customer, Fitting, Photograph
from fittings.photographs.keeping import load
from fittings.photographs.record import MOST_ON_TICKET, SHOWS, add_photograph
from fittings.photographs.showing import PER_PAGE
from fittings.photographs.taking import taken_in
from fittings.refusals import Refused
from tests.asked import queries
from tests.fitting.conftest import text
from tests.photographs.conftest import Device
from tests.photographs.pictures import corners, file, film, quartered

pytestmark = pytest.mark.django_db


def signed(device: Device) -> None:
    device.fitting.refresh_from_db()
    sign(device.fitting, by=device.fitting.fitter, at=timezone.now())


def test_a_fitting_without_photographs_says_so(device: Device) -> None:
    assert "No photograph yet." in device.page()


def test_a_photograph_is_kept_with_what_it_shows_and_by_the_clock_of_the_device(
    device: Device,
) -> None:
    answer = device.send(shows="detail-left", made_at="2026-02-02T10:15:00Z")
    assert answer.status_code == 200
    assert "One photograph kept." in text(answer)
    kept = device.only
    assert (kept.side, kept.view, str(kept)) == ("left", "detail", "wearer's left, a detail")
    assert kept.taken_at == dt.datetime(2026, 2, 2, 10, 15, tzinfo=dt.UTC)
    assert kept.made_by == device.fitting.fitter
    assert corners(load(kept.sha256) or b"")[0] == "red"


def test_sent_twice_it_is_kept_once(device: Device) -> None:
    identity = str(uuid.uuid4())
    first, again = device.send(identity=identity), device.send(identity=identity)
    assert (first.status_code, again.status_code) == (200, 200)
    assert str(device.only.pk) == identity


def test_sent_again_after_it_was_turned_it_is_still_the_same_one(device: Device) -> None:
    identity = str(uuid.uuid4())
    device.send(identity=identity)
    device.change(device.only, "turn")
    assert device.send(identity=identity).status_code == 200
    assert device.only.width < device.only.height


def test_another_file_under_a_known_identity_is_refused(device: Device) -> None:
    identity = str(uuid.uuid4())
    device.send(identity=identity)
    answer = device.send(file(quartered(64, 64)), identity=identity)
    assert answer.status_code == 422
    assert "choose it once more" in text(answer)
    assert device.only.width == 96


def test_the_same_picture_twice_is_two_photographs_and_one_file(device: Device) -> None:
    device.send()
    device.send()
    one, two = Photograph.objects.all()
    assert one.sha256 == two.sha256
    assert len(default_storage.listdir(f"photographs/{one.sha256[:2]}")[1]) == 2


def test_a_plain_form_sends_several_and_twice_is_once(device: Device) -> None:
    def form() -> dict[str, Any]:
        pictures = [quartered(), quartered(64, 96)]
        return {
            "identity": "7f3c1f57-6f0a-4e44-8a0f-61d1f2a6a0b1",
            "photograph": [SimpleUploadedFile("a.jpg", file(one)) for one in pictures],
        }

    for _ in range(2):
        answer = device.send(plain=True, **form())
        assert answer.status_code == 302
        assert answer["Location"].endswith("#photographs")
    assert {(p.width, p.height) for p in Photograph.objects.all()} == {(96, 64), (64, 96)}
    assert Photograph.objects.count() == 2


def test_of_several_the_sound_ones_are_kept_and_the_other_is_named(device: Device) -> None:
    sound = SimpleUploadedFile("sound.jpg", file(quartered()))
    moving = SimpleUploadedFile("moving.webp", film("WEBP"))
    answer = device.send(plain=True, photograph=[moving, sound])
    assert answer.status_code == 422
    assert "moving.webp: This picture moves" in text(answer)
    assert device.only.width == 96


def test_what_is_no_photograph_is_refused_whatever_it_is_called(device: Device) -> None:
    svg = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"
    answer = device.send(photograph=SimpleUploadedFile("coat.jpg", svg, "image/jpeg"))
    assert answer.status_code == 422
    assert "coat.jpg: This is no JPEG, PNG, WebP or HEIC picture" in text(answer)
    assert not Photograph.objects.exists()


def test_an_empty_and_a_too_large_file_are_refused(device: Device, monkeypatch: Any) -> None:
    assert "empty" in text(device.send(b""))
    assert settings.PHOTOGRAPH_MOST_BYTES == 15_000_000
    large = device.send(b"\xff\xd8" + bytes(25_000_000))
    assert large.status_code == 422
    assert "holds 25 million bytes and at most 15 are taken" in text(large)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"shows": "nothing"}, "Say what it shows."),
        ({"photograph": ""}, "take one or choose one"),
        ({"identity": "no identity"}, "valid UUID"),
    ],
)
def test_what_was_not_said_is_asked(device: Device, given: dict[str, str], words: str) -> None:
    answer = device.send(**given)
    assert answer.status_code == 422
    assert words in text(answer)


def test_taken_back_it_stays_on_the_record_and_can_be_put_back(device: Device) -> None:
    device.send()
    answer = device.change(device.only, "take-back")
    assert "taken back by" in text(answer)
    assert device.only.removed_by == device.fitting.fitter
    device.change(device.only, "put-back")
    assert device.only.removed_at is None


def test_turned_it_has_new_files_and_its_history_names_the_old(device: Device) -> None:
    device.send()
    before = device.only.sha256
    device.change(device.only, "turn")
    after = device.only
    assert corners(load(after.sha256) or b"") == ["blue", "red", "black", "green"]
    assert corners(load(before) or b"") == ["red", "green", "blue", "black"]
    history: Any = Photograph.history  # type: ignore[attr-defined]
    assert list(history.values_list("sha256", flat=True)) == [after.sha256, before]


def test_turned_twice_over_the_same_picture_it_is_turned_once(device: Device) -> None:
    device.send()
    over = device.only.sha256
    for _ in range(2):
        assert device.change(device.only, "turn", over=over).status_code == 200
    assert (device.only.width, device.only.height) == (64, 96)
    device.change(device.only, "turn", over=device.only.sha256)
    assert (device.only.width, device.only.height) == (96, 64)


def test_what_is_marked_on_is_not_turned(device: Device) -> None:
    device.send()
    photograph = device.only
    photograph.marks.create(
        kind="pin",
        number=1,
        points=[[0.5, 0.5]],
        made_at=timezone.now(),
        made_by=photograph.made_by,
    )
    answer = device.change(photograph, "turn")
    assert answer.status_code == 422
    assert "would lie elsewhere" in text(answer)


def test_what_it_shows_can_be_said_anew(device: Device) -> None:
    device.send()
    device.change(device.only, "describe", shows="right", note="strain across the blade")
    assert str(device.only) == "from the wearer's right"
    answer = device.change(device.only, "describe", shows="right", note="x" * 121)
    assert answer.status_code == 422
    assert "120 signs" in text(answer)


def test_after_signing_photographs_are_added_and_marked_and_the_old_stand(device: Device) -> None:
    device.send()
    old = device.only
    signed(device)
    for act in ("take-back", "turn"):
        answer = device.change(old, act)
        assert answer.status_code == 409
        assert "take a further photograph" in text(answer)
    device.send()
    new = Photograph.objects.get(after_signing=True)
    assert "added after signing" in device.page()
    assert device.change(new, "take-back").status_code == 200


def test_no_more_go_to_the_workroom_than_fit_on_the_paper(device: Device) -> None:
    for _ in range(MOST_ON_TICKET + 1):
        device.send()
    *fitting, last = Photograph.objects.all()
    for one in fitting:
        assert device.change(one, "to-workroom").status_code == 200
    answer = device.change(last, "to-workroom")
    assert answer.status_code == 422
    assert "leave one of them out first" in text(answer)
    device.change(fitting[0], "not-to-workroom")
    assert device.change(last, "to-workroom").status_code == 200


def test_without_consent_the_camera_is_off_with_the_reason_and_a_way_to_ask(
    device: Device,
) -> None:
    customer = device.fitting.order.customer
    customer.fitting_photo_consent_on = None
    customer.save()
    page = device.page()
    assert "The camera is off." in page
    assert "has not agreed to photographs to fit by" in page
    # What lies in a template is no part of the page until a yes is said without network.
    assert 'type="file"' not in re.sub(r"<template.*?</template>", "", page, flags=re.DOTALL)
    assert device.send().status_code == 422
    assert not Photograph.objects.exists()
    ask = reverse("fitting-consent", args=[device.fitting.pk])
    answer = device.client.post(ask, {"consent": "photographs", "says": "agreed"})
    assert answer.status_code == 302
    customer.refresh_from_db()
    assert customer.fitting_photo_consent_on == timezone.localdate()
    assert f"asked by {device.fitting.fitter}" in device.page()
    assert device.send().status_code == 200


def test_consent_taken_back_hides_the_photographs_and_destroys_none(device: Device) -> None:
    device.send()
    kept = device.only
    ask = reverse("fitting-consent", args=[device.fitting.pk])
    device.client.post(ask, {"consent": "photographs", "says": "withdrawn"})
    page = device.page()
    assert "1 photograph of this fitting is kept and not shown" in page
    for name in ("photograph", "photograph-thumb", "photograph-change"):
        address = reverse(name, args=[kept.pk])
        assert device.client.post(address).status_code in {404, 405}
        assert device.client.get(address).status_code in {404, 405}
    assert load(kept.sha256) is not None
    device.client.post(ask, {"consent": "photographs", "says": "agreed"})
    assert device.client.get(kept.get_absolute_url()).status_code == 200


def test_consent_taken_back_while_a_photograph_is_read_keeps_none(device: Device) -> None:
    before = Fitting.objects.select_related("order__customer").get(pk=device.fitting.pk)
    assert before.order.customer.fitting_photo_consent_on
    Customer.objects.update(fitting_photo_consent_on=None)
    data, by, now = file(quartered()), before.fitter, timezone.now()
    with pytest.raises(Refused, match="has not agreed to photographs"):
        add_photograph(before, data, shows=SHOWS[0], by=by, taken_at=now)
    assert not Photograph.objects.exists()
    assert load(taken_in(data).sha256) is None


def test_consent_to_be_published_is_another_and_the_record_is_not_taken_back_by_a_tap(
    device: Device,
) -> None:
    customer = device.fitting.order.customer
    ask = reverse("customer-consent", args=[customer.pk])
    device.client.post(ask, {"consent": "publishing", "says": "agreed"})
    customer.refresh_from_db()
    assert customer.publish_photo_consent_on == timezone.localdate()
    device.client.post(ask, {"consent": "publishing", "says": "withdrawn"})
    customer.refresh_from_db()
    assert customer.publish_photo_consent_on is None
    assert customer.fitting_photo_consent_on is not None
    answer = device.client.post(ask, {"consent": "record", "says": "withdrawn"})
    assert answer.status_code == 422
    assert "ask the owner" in text(answer)
    assert device.client.post(ask, {"consent": "all", "says": "agreed"}).status_code == 404


def test_page_asks_the_database_equally_often_for_one_and_for_many(device: Device) -> None:
    device.send()
    one = queries(device.page)
    for _ in range(PER_PAGE + 2):
        device.send()
    assert queries(device.page) == one
    page = device.client.get(reverse("photograph-new", args=[device.fitting.pk]), {"page": 2})
    assert f"{PER_PAGE + 1} to {PER_PAGE + 3} of {PER_PAGE + 3}" in text(page)
