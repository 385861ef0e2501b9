"""A fitting of a customer who agrees to photographs, and a device that sends them."""

import datetime as dt
import uuid
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from fittings.models import Fitting, Photograph
from tests.conftest import Signed
from tests.factories import FittingFactory
from tests.photographs.pictures import file, quartered

PART = {"HX-Request": "true"}
AGREED = dt.date(2026, 1, 5)


class Device:
    """The fitting page as the tablet uses it: one photograph in each request."""

    def __init__(self, client: Client, fitting: Fitting) -> None:
        self.client, self.fitting = client, fitting

    def send(self, data: bytes | None = None, *, plain: bool = False, **given: Any) -> Any:
        posted = {"shows": "front", "identity": str(uuid.uuid4()), **given}
        posted.setdefault(
            "photograph", SimpleUploadedFile("a.jpg", file(quartered()) if data is None else data)
        )
        address = reverse("photograph-new", args=[self.fitting.pk])
        return self.client.post(address, posted, headers={} if plain else PART)

    def change(self, photograph: Photograph, act: str, **given: Any) -> Any:
        address = reverse("photograph-change", args=[photograph.pk])
        return self.client.post(address, {"act": act, **given}, headers=PART)

    def page(self) -> str:
        return self.client.get(self.fitting.get_absolute_url()).content.decode()

    @property
    def only(self) -> Photograph:
        return Photograph.objects.select_related("fitting__order__customer").get()


@pytest.fixture
def device(fitter: Signed) -> Device:
    fitting = FittingFactory(fitter=fitter[1], order__customer__fitting_photo_consent_on=AGREED)
    return Device(fitter[0], fitting)
