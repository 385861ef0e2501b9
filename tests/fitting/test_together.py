"""The page that answers all readings at once."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.fitting_room.entries import add_entry
from fittings.models import Fitting
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory

pytestmark = pytest.mark.django_db


def read(fitting: Fitting, side: str, data: dict[str, Any]) -> None:
    add_entry(
        fitting, side=side, kind="reading", data=data, by=fitting.fitter, made_at=timezone.now()
    )


def test_nothing_read_changes_nothing(fitter: tuple[Client, Any]) -> None:
    fitting = FittingFactory(order=OrderFactory(pattern_version=PatternVersionFactory()))
    page = fitter[0].get(reverse("fitting-together", args=[fitting.pk])).content.decode()
    assert page.count("Nothing is to be changed") == 2


def test_both_sides_are_answered_and_unlike_arms_are_told(fitter: tuple[Client, Any]) -> None:
    fitting = FittingFactory(order=OrderFactory(pattern_version=PatternVersionFactory()))
    read(fitting, "left", {"what": "pitch", "cuff_offset_mm": 63, "drop_mm": 600})
    read(fitting, "right", {"what": "length", "amount_mm": 12})
    page = fitter[0].get(reverse("fitting-together", args=[fitting.pk])).content.decode()
    assert "cuff forward, 0.8 cm" in page  # arctan(63/600) of an armhole of 480 mm
    assert "1.2 cm longer" in page
    assert "Each arm has its own" in page


def test_without_a_pattern_it_says_what_to_do(fitter: tuple[Client, Any]) -> None:
    fitting = FittingFactory()
    answer = fitter[0].get(reverse("fitting-together", args=[fitting.pk]))
    assert answer.status_code == 422
    assert "no pattern yet" in answer.content.decode()
