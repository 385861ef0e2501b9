"""Photographs handed to the browser: to whom they may be, upright, bare, and never as a page."""

import uuid
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.urls import reverse
from PIL import Image

from tailorshop import env
from tests.conftest import Signed
from tests.photographs.conftest import Device
from tests.photographs.pictures import MARKER, corners, exif, file, quartered

pytestmark = pytest.mark.django_db

ADDRESSES = ("photograph", "photograph-thumb")


def served(answer: Any) -> bytes:
    return b"".join(answer) if answer.streaming else answer.content


@pytest.mark.parametrize("name", ADDRESSES)
def test_it_is_handed_over_as_a_picture_and_nothing_else(device: Device, name: str) -> None:
    device.send()
    answer = device.client.get(reverse(name, args=[device.only.pk]))
    assert answer.status_code == 200
    assert answer["Content-Type"] == "image/jpeg"
    # RFC 9111, 5.2.2.5: what may not be stored is on no disk of a tablet and outlives no consent.
    assert answer["Cache-Control"] == "private, no-store"
    assert "ETag" not in answer
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    order = device.fitting.order.number
    assert answer["Content-Disposition"] == f'inline; filename="{order}-2026-02-02-front.jpg"'
    assert device.fitting.order.customer.family_name not in str(answer.headers)


@pytest.mark.parametrize("name", ADDRESSES)
def test_no_byte_that_is_served_says_where_or_by_what_it_was_taken(
    device: Device, name: str
) -> None:
    sent = file(quartered(), exif=exif(), comment=MARKER)
    assert MARKER in sent
    device.send(sent)
    data = served(device.client.get(reverse(name, args=[device.only.pk])))
    assert corners(data) == ["red", "green", "blue", "black"]
    for leftover in (MARKER, b"Exif", b"GPS", b"ICC_PROFILE", b"xmp"):
        assert leftover not in data


def test_the_workroom_and_strangers_are_given_none(
    device: Device, workroom: Signed, client: Any
) -> None:
    device.send()
    for name in ADDRESSES:
        address = reverse(name, args=[device.only.pk])
        assert workroom[0].get(address).status_code == 404
        assert client.get(address).status_code == 302


def test_the_owner_is_given_it(device: Device, owner: Signed) -> None:
    device.send()
    assert owner[0].get(device.only.get_absolute_url()).status_code == 200


def test_of_an_erased_customer_none_is_given(device: Device) -> None:
    device.send()
    customer = device.fitting.order.customer
    customer.refresh_from_db()
    customer.erased_on = "2026-03-01"
    customer.save()
    assert device.client.get(device.only.get_absolute_url()).status_code == 404


def test_none_is_given_that_is_not_there(device: Device) -> None:
    assert device.client.get(reverse("photograph", args=[uuid.uuid4()])).status_code == 404


def test_a_front_server_is_told_the_file_and_sends_it(device: Device, settings: Any) -> None:
    settings.HAND_OVER_FILES = "x-accel-redirect"
    device.send()
    kept = device.only
    answer = device.client.get(kept.get_absolute_url())
    assert answer.content == b""
    assert (
        answer["X-Accel-Redirect"]
        == f"/handed-over/photographs/{kept.sha256[:2]}/{kept.sha256}.jpg"
    )
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"


def test_a_wrong_word_for_who_hands_over_is_named_with_its_cure(monkeypatch: Any) -> None:
    monkeypatch.setenv("TAILORSHOP_HAND_OVER_FILES", "nginx")
    with pytest.raises(ImproperlyConfigured, match="write none or x-accel-redirect"):
        env.one_of("HAND_OVER_FILES", ("none", "x-accel-redirect"))


def test_a_picture_of_one_pixel_is_handed_over_too(device: Device) -> None:
    device.send(file(Image.new("RGB", (1, 1)), "PNG"))
    answer = device.client.get(reverse("photograph-thumb", args=[device.only.pk]))
    assert answer.status_code == 200
