"""Notes of health: opened by a tap of their own, by those who may, and nowhere else."""

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fittings.erasing.traces import columns_with
from fittings.models import Customer, HealthNote
from tests.conftest import Signed
from tests.factories import CustomerFactory, FittingFactory
from tests.test_roles import WORKROOM_TOO, addresses  # noqa: F401

WORDS = "Markedpacemaker on the left"
# Pictures and papers, in which no text is found by its letters; what they are made of is looked at.
PRESSED = ("-pdf", "-paper", "-plot", "-month", "-drawing")
# Where the words may stand: the page that is opened for them, and the record as it is carried out.
OPENED = {"health-notes", "health-note-edit", "customer-record"}


def noted(customer: Customer, by: Any) -> HealthNote:
    customer.health_consent_on = dt.date(2026, 1, 5)
    customer.save()
    return HealthNote.objects.create(
        customer=customer, words=WORDS, noted_on=dt.date(2026, 1, 5), noted_by=by
    )


def at(name: str, row: Any) -> str:
    return reverse(name, args=[row.pk])


def test_nothing_is_written_before_the_customer_agrees(fitter: Signed) -> None:
    customer = CustomerFactory()
    answer = fitter[0].post(at("health-note-new", customer), {"words": WORDS})
    assert answer.status_code == 422
    assert "Ask first" in answer.content.decode()
    assert not HealthNote.objects.exists()
    fitter[0].post(at("health-consent", customer), {"says": "agreed"})
    answer = fitter[0].post(at("health-note-new", customer), {"words": WORDS}, follow=True)
    assert WORDS in answer.content.decode()
    assert HealthNote.objects.get().noted_by == fitter[1]


def test_an_empty_note_is_not_kept_and_says_what_to_do(fitter: Signed) -> None:
    note = noted(CustomerFactory(), fitter[1])
    answer = fitter[0].post(at("health-note-edit", note), {"words": "", "version": note.version})
    assert answer.status_code == 422
    note.refresh_from_db()
    assert note.words == WORDS


def test_two_who_change_one_note_are_shown_both_states(fitter: Signed) -> None:
    note = noted(CustomerFactory(), fitter[1])
    seen = note.version
    note.words = "a shoulder that cannot be lifted"
    note.save_over(seen)
    answer = fitter[0].post(at("health-note-edit", note), {"words": "other", "version": seen})
    assert answer.status_code == 409
    assert "a shoulder that cannot be lifted" in answer.content.decode()


@pytest.mark.django_db
def test_no_other_page_and_no_search_says_what_is_noted(
    addresses: dict[str, str],  # noqa: F811
    owner: tuple[Client, Any],
    workroom: tuple[Client, Any],
) -> None:
    HealthNote.objects.update(words=WORDS)
    ends, told = {"sign-out", "account_logout"}, set()
    pages = [(owner[0], name) for name in addresses]
    pages += [(workroom[0], name) for name in WORKROOM_TOO]
    for client, name in pages:
        if name in ends or name.endswith(PRESSED):
            continue
        answer: Any = client.get(addresses[name])
        if "Markedpacemaker" in b"".join(answer).decode("utf-8", "ignore"):
            told.add(name)
    assert told == OPENED - {"customer-record"}  # pressed in its zip file
    found = owner[0].get(reverse("search"), {"q": "Markedpacemaker"}).content.decode()
    assert "customers/" not in found.partition("<main")[2]
    # And of the database nothing but the note itself holds them: no history, no list.
    assert columns_with(["markedpacemaker"]) == ["fittings_healthnote.words"]


def test_the_fitting_says_that_there_is_a_note_and_not_which(fitter: Signed) -> None:
    fitting = FittingFactory()
    assert "note of health" not in fitter[0].get(fitting.get_absolute_url()).content.decode()
    noted(fitting.order.customer, fitter[1])
    page = fitter[0].get(fitting.get_absolute_url()).content.decode()
    assert "There is a note of health: open" in page
    assert WORDS not in page


def test_a_consent_taken_back_hides_the_notes_until_they_are_deleted(fitter: Signed) -> None:
    customer = CustomerFactory()
    note = noted(customer, fitter[1])
    fitter[0].post(at("health-consent", customer), {"says": "withdrawn"})
    page = fitter[0].get(at("health-notes", customer)).content.decode()
    assert WORDS not in page
    assert "1 note lies here and is shown to nobody" in page
    assert fitter[0].get(at("health-note-edit", note)).status_code == 404
    fitter[0].post(at("health-consent", customer), {"says": "delete"})
    assert not HealthNote.objects.exists()
    assert columns_with(["markedpacemaker"]) == []


def test_notes_are_not_deleted_all_at_once_while_the_consent_stands(fitter: Signed) -> None:
    customer = CustomerFactory()
    noted(customer, fitter[1])
    answer = fitter[0].post(at("health-consent", customer), {"says": "delete"})
    assert answer.status_code == 404
    assert HealthNote.objects.count() == 1


def test_one_note_is_deleted_for_good(owner: Signed) -> None:
    note = noted(CustomerFactory(), owner[1])
    owner[0].post(at("health-note-delete", note))
    assert columns_with(["markedpacemaker"]) == []
    history: Any = HealthNote.history
    assert [row.history_type for row in history.order_by("history_id")] == ["+", "-"]
