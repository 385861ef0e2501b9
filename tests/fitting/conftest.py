"""A fitting to stand at: an order with a pattern, and ways to enter things at it."""

import html
import re
import uuid
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from fittings.fitting_room.proposals import one_side
from fittings.models import Fitting
from tests.conftest import Signed
from tests.factories import FittingFactory, PatternVersionFactory

HTMX = {"HX-Request": "true"}


@pytest.fixture
def fitting(fitter: Signed) -> Fitting:
    user = fitter[1]
    user.units = "mm"
    user.save()
    version = PatternVersionFactory()
    return FittingFactory(order__pattern_version=version, fitter=user)


@pytest.fixture
def room(fitter: Signed, fitting: Fitting) -> "Room":
    return Room(fitter[0], fitting)


class Room:
    """The fitting page as the fitter uses it."""

    def __init__(self, client: Client, fitting: Fitting) -> None:
        self.client, self.fitting = client, fitting

    def page(self) -> str:
        return self.client.get(self.fitting.get_absolute_url()).content.decode()

    def post(self, name: str, data: dict[str, Any], *extra: Any, plain: bool = False) -> Any:
        address = reverse(name, args=[self.fitting.pk, *extra])
        return self.client.post(address, data, headers={} if plain else HTMX)

    def read(self, what: str, side: str = "left", plain: bool = False, **given: Any) -> Any:
        data = {"side": side, "what": what, "identity": str(uuid.uuid4()), **given}
        return self.post("fitting-entry", data, plain=plain)

    def cuff(self, offset: str = "60", side: str = "left", **given: Any) -> Any:
        """60 mm at 600 mm on an armhole of 480 mm is 7.6 mm of pitch, by scale drawing."""
        given = {"way": "plus", "offset": offset, "drop": "600", **given}
        return self.read("cuff-offset", side, **given)

    def settle(self) -> None:
        for check in ("balance", "shoulders"):
            self.post("fitting-entry", {"check": check, "state": "settled"})

    def decide(
        self, verdict: str, key: str = "pitch:pitch", side: str = "left", **given: Any
    ) -> Any:
        found = one_side(Fitting.objects.get(pk=self.fitting.pk), side).find(key)
        data = {
            "side": side,
            "key": key,
            "verdict": verdict,
            "identity": str(uuid.uuid4()),
            "seen_mm": found.correction.shift_mm if found else 0,
            **given,
        }
        return self.post("fitting-decision", data)

    def sign(self) -> Any:
        return self.post("fitting-sign", {}, plain=True)


def text(answer: HttpResponse) -> str:
    """What a person reads: the answer without tags, apostrophes as they are."""
    plain = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(html.unescape(plain).split())
