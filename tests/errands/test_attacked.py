"""What may come between asking, making and fetching, and what somebody may try there."""

import datetime as dt
import io
import zipfile
from typing import Any

import pytest
from django.urls import reverse

from fittings.consents import BY_KEY, HEALTH, withdraw
from fittings.erasing.erase import erase
from fittings.errands import kinds, under_way
from fittings.models import Customer, Errand, ErrandState, HealthNote
from tailorshop.models import Role
from tailorshop.working import Working
from tests.conftest import Signed
from tests.errands.under_way import NOW, ask_month, at_work, files
from tests.factories import CustomerFactory

pytestmark = pytest.mark.usefixtures("one_connection")

SHORTLY, LONG_AGO = dt.timedelta(minutes=50), dt.timedelta(minutes=70)


@pytest.fixture
def customer(owner: Signed, settings: Any, tmp_path: Any) -> Customer:
    """Who agreed to all, with a note of health."""
    settings.ERASURE_LIST = tmp_path / "erased.jsonl"
    day = dt.date(2026, 3, 2)
    said = {"fitting_photo_consent_on": day, "health_consent_on": day}
    row = CustomerFactory(**said)
    HealthNote.objects.create(
        customer=row, words="Frozen shoulder", noted_on=day, noted_by=owner[1]
    )
    return row


def packed(owner: Signed, customer: Customer) -> str:
    """The address of the file of this customer's whole record."""
    answer = owner[0].post(reverse("customer-record", args=[customer.pk]))
    assert files() == ["1.zip"]
    return str(answer["Location"])


def test_a_form_gone_back_to_and_filled_in_otherwise_asks_for_something_else(
    owner: Signed,
    quick: None,
) -> None:
    first = ask_month(owner[0], "a")["Location"]
    assert ask_month(owner[0], "a", "2026-04")["Location"] != first
    assert {row.said["month"] for row in Errand.objects.all()} == {3, 4}


def test_tried_once_more_while_the_same_was_asked_for_anew_it_is_the_newer_one(
    owner: Signed,
    worker: None,
) -> None:
    first = ask_month(owner[0])["Location"]
    Errand.objects.update(state=ErrandState.FAILED, ended_at=NOW())
    second = ask_month(owner[0])["Location"]
    assert owner[0].post(f"{first}go-on/")["Location"] == second != first


@pytest.mark.parametrize("change", [{"role": Role.KEEPER}, {"is_active": False}])
def test_nothing_is_made_for_whoever_is_no_owner_any_more(
    owner: Signed,
    worker: None,
    customer: Customer,
    change: dict[str, Any],
) -> None:
    owner[0].post(reverse("customer-record", args=[customer.pk]))
    type(owner[1]).objects.filter(pk=owner[1].pk).update(**change)
    Working().once()
    assert files() == []
    assert "may not have it any more" in Errand.objects.get().failure


def test_after_its_day_nothing_is_handed_out_also_where_nobody_tidied_up(
    owner: Signed,
    quick: None,
) -> None:
    file = ask_month(owner[0])["Location"]
    Errand.objects.update(ended_at=NOW() - dt.timedelta(hours=25))
    assert files() == ["1.pdf"]
    assert owner[0].get(file).status_code == 404


def test_a_record_goes_an_hour_after_it_was_first_fetched_whole(
    owner: Signed, customer: Customer
) -> None:
    file = packed(owner, customer)
    assert next(iter(owner[0].get(file))), "and there it breaks off"
    assert owner[0].head(file).status_code == 200
    assert Errand.objects.get().fetched_at is None, "it may be fetched whole for a day"
    whole = owner[0].get(file)
    assert zipfile.ZipFile(io.BytesIO(b"".join(whole))).testzip() is None
    Errand.objects.update(fetched_at=NOW() - SHORTLY)
    assert b"".join(owner[0].get(file)), "the browser may have lost it"
    assert NOW() - Errand.objects.get().fetched_at > SHORTLY, "the first time counts"
    Errand.objects.update(fetched_at=NOW() - LONG_AGO)
    assert owner[0].get(file).status_code == 404
    under_way.sweep(NOW())
    assert (files(), Errand.objects.count()) == ([], 0)


@pytest.mark.parametrize("taken", ["the note", "health", "photographs", "in the form"])
def test_what_was_packed_goes_with_what_is_deleted_or_taken_back(
    owner: Signed, customer: Customer, taken: str, django_capture_on_commit_callbacks: Any
) -> None:
    file = packed(owner, customer)
    with django_capture_on_commit_callbacks(execute=True):
        if taken == "the note":
            note = customer.health_notes.get()
            owner[0].post(reverse("health-note-delete", args=[note.pk]))
        elif taken == "in the form":
            said = {"given_name": "Ada", "family_name": "Ash", "version": customer.version}
            said["fitting_photo_consent_on"] = "2026-03-02"  # that of the record is cleared
            owner[0].post(reverse("customer-edit", args=[customer.pk]), said)
        else:
            withdraw(customer, HEALTH if taken == "health" else BY_KEY[taken])
    assert (files(), Errand.objects.count()) == ([], 0)
    assert owner[0].get(file).status_code == 404


@pytest.mark.parametrize("when", ["before it is made", "while it is made", "as it is kept"])
def test_of_a_customer_erased_meanwhile_nothing_is_made_and_nothing_stays(
    owner: Signed,
    worker: None,
    customer: Customer,
    when: str,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: Any,
) -> None:
    owner[0].post(reverse("customer-record", args=[customer.pk]))

    def erased() -> None:
        with django_capture_on_commit_callbacks(execute=True):
            erase(customer, by=owner[1], on=dt.date(2026, 3, 2))

    if when == "before it is made":
        erased()
        Working().once()
    else:
        step, begun = {"while it is made": "told", "as it is kept": "finish"}[when], at_work()[0]
        module: Any = kinds if step == "told" else under_way
        then = getattr(module, step)
        monkeypatch.setattr(module, step, lambda *args, **said: (erased(), then(*args, **said)))
        with pytest.raises(under_way.NoLongerOurs):
            kinds.record(begun)
    assert (files(), Errand.objects.count()) == ([], 0)
