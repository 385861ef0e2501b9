"""Who opened notes of health is written down, or they are not shown."""

import datetime as dt
from typing import Any

import pytest
from django.db import OperationalError
from django.urls import reverse

from fittings.models import HealthNote
from tailorshop.models import Seen
from tests.conftest import Signed
from tests.factories import CustomerFactory

WORDS = "a pacemaker on the left"


@pytest.fixture
def note(fitter: Signed) -> HealthNote:
    customer = CustomerFactory(health_consent_on=dt.date(2026, 1, 5))
    return HealthNote.objects.create(
        customer=customer, words=WORDS, noted_on=dt.date(2026, 1, 5), noted_by=fitter[1]
    )


def test_a_look_at_notes_of_health_is_in_the_trail(fitter: Signed, note: HealthNote) -> None:
    for name, key in (("health-notes", note.customer_id), ("health-note-edit", note.pk)):
        fitter[0].get(reverse(name, args=[key]))
    seen = Seen.objects.order_by("pk").values_list("user_id", "page", "customer_key")
    who, customer = fitter[1].pk, note.customer_id
    assert list(seen) == [(who, "health-notes", customer), (who, "health-note-edit", customer)]


def test_a_look_by_posting_or_by_a_form_that_comes_back_is_in_the_trail(
    fitter: Signed, note: HealthNote
) -> None:
    shown = fitter[0].post(reverse("health-notes", args=[note.customer_id]))
    old = {"words": "another", "noted_on": "2026-01-05", "version": "0"}
    changed = fitter[0].post(reverse("health-note-edit", args=[note.pk]), old)
    assert (shown.status_code, changed.status_code) == (200, 409)
    for answer in (shown, changed):
        assert WORDS in answer.content.decode()
    assert list(Seen.objects.values_list("page", flat=True).order_by("pk")) == [
        "health-notes",
        "health-note-edit",
    ]


@pytest.mark.parametrize("method", ["OPTIONS", "PUT", "TRACE"])
def test_a_way_of_asking_that_no_page_knows_is_shown_nothing(
    fitter: Signed, note: HealthNote, method: str
) -> None:
    answer = fitter[0].generic(method, reverse("health-notes", args=[note.customer_id]))
    # RFC 9110, 15.5.6
    assert (answer.status_code, answer["Allow"]) == (405, "GET, HEAD, POST")
    assert WORDS not in answer.content.decode()


def test_what_cannot_be_written_down_is_not_shown(
    fitter: Signed, note: HealthNote, monkeypatch: Any
) -> None:
    def full(*args: Any) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr("tailorshop.trail.seen.write_down", full)
    fitter[0].raise_request_exception = False
    answer = fitter[0].get(reverse("health-notes", args=[note.customer_id]))
    assert answer.status_code >= 500
    assert WORDS not in answer.content.decode()
    # Any other page stays open to a fitter with a customer before the mirror.
    assert fitter[0].get(note.customer.get_absolute_url()).status_code == 200
