"""The owner's page: who changed what, from what to what."""

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.belonging import personal_models
from fittings.models import Customer, Entry
from tailorshop.trail.changed import changes, histories, of_model, way_to_customer
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import CustomerFactory, FittingFactory, OrderFactory

pytestmark = pytest.mark.django_db


def page(owner: Signed, **asked: Any) -> str:
    return str(owner[0].get(reverse("trail"), asked).content.decode())


def test_nothing_changed_is_said(owner: Signed) -> None:
    assert "Nothing was changed." in page(owner)
    assert "Nobody looked." in page(owner, what="read")


def test_a_change_shows_what_it_was_before_and_is_after(fitter: Signed, owner: Signed) -> None:
    customer = CustomerFactory(given_name="Ada", family_name="Thorn", phone="111")
    typed = {"given_name": "Ada", "family_name": "Thorn", "phone": "222", "version": "1"}
    fitter[0].post(reverse("customer-edit", args=[customer.pk]), typed)
    said = page(owner)
    assert "<del>111</del> → <ins>222</ins>" in said
    row = changes()[0][0]
    assert (row.by, row.done) == (str(fitter[1]), "changed")
    said_of_phone = [(one.before, one.after) for one in row.differences if one.name == "phone"]
    assert said_of_phone == [("111", "222")]
    assert "family name" not in {one.name for one in row.differences}


def test_choices_and_people_are_said_in_words(fitter: Signed) -> None:
    fitting = FittingFactory(stage="baste", fitter=fitter[1])
    entered = next(row for row in changes()[0] if row.what == "Fitting")
    said = {one.name: one.after for one in entered.differences}
    assert said["stage"] == fitting.get_stage_display()
    assert said["fitter"] == str(fitter[1])
    assert said["order"] == fitting.order.number


def test_what_was_read_is_told_piece_by_piece_with_day_and_hour_of_the_shop(fitter: Signed) -> None:
    fitting, made = FittingFactory(), dt.datetime(2026, 7, 1, 9, 5, tzinfo=dt.UTC)
    read = {"what": "pitch", "cuff_offset_mm": 50.0, "drop_mm": 600.0}
    Entry.objects.create(
        fitting=fitting, side="left", kind="reading", data=read, made_at=made, made_by=fitter[1]
    )
    entered = next(row for row in changes()[0] if row.what == "Entry")
    said = {one.name: one.after for one in entered.differences}
    assert said["data"] == "what pitch; cuff offset mm 50.0; drop mm 600.0"
    assert said["fitting"] == f"no. {fitting.pk} of {fitting.order.number}"
    local = timezone.localtime(made)
    assert said["made at"] == f"1 Jul 2026, {local.hour:02}:05"
    assert "after signing" not in said


def test_changes_of_one_customer_are_found_on_every_kind_of_row(owner: Signed) -> None:
    fitting = FittingFactory()
    FittingFactory()
    found = {row.what for row in changes(customer=fitting.order.customer_id)[0]}
    assert {"Customer", "Order", "Fitting"} <= found
    keys = {row.key for row in changes(customer=fitting.order.customer_id)[0]}
    assert fitting.order.number in keys
    assert len([k for k in keys if k.startswith("C-")]) == 1
    assert len(changes()[0]) > len(changes(customer=fitting.order.customer_id)[0])


def test_changes_by_one_person_leave_out_the_others(fitter: Signed, owner: Signed) -> None:
    typed = {"given_name": "Ada", "family_name": "Thorn"}
    fitter[0].post(reverse("customer-new"), typed)
    owner[0].post(reverse("customer-new"), {**typed, "given_name": "Bea"})
    assert len(changes(user=fitter[1].pk)[0]) == 1


def test_every_history_of_personal_rows_leads_to_its_customer() -> None:
    without = {
        of_model(one).__name__ for one in histories() if way_to_customer(of_model(one)) is None
    }
    assert without == {of_model(one).__name__ for one in histories()} - {
        model.__name__ for model in personal_models()
    }
    assert "Customer" not in without


def test_older_changes_follow_without_a_gap_or_a_repeat() -> None:
    CustomerFactory.create_batch(120)
    numbers: list[str] = []
    before = None
    for _ in range(4):
        rows, before = changes(before=before)
        numbers += [row.key for row in rows]
        if before is None:
            break
    assert len(numbers) == 120
    assert set(numbers) == set(Customer.objects.values_list("number", flat=True))


def test_the_page_asks_as_often_for_many_changes_as_for_one(owner: Signed) -> None:
    def asked() -> int:
        return queries(lambda: page(owner))

    OrderFactory()
    asked()
    one = asked()
    OrderFactory.create_batch(30)
    assert asked() == one


@pytest.mark.parametrize("asked", ["x", "-1", "9" * 40, "²", ""])
def test_an_address_that_makes_no_sense_shows_the_whole_trail(owner: Signed, asked: str) -> None:
    for name in ("customer", "person", "before", "page"):
        assert owner[0].get(reverse("trail"), {name: asked}).status_code == 200
    assert owner[0].get(reverse("trail"), {"before": "2026-13-45T00:00"}).status_code == 200


def test_who_looked_names_the_customer_and_leads_on(owner: Signed) -> None:
    customer = CustomerFactory(given_name="Ada", family_name="Thorn")
    owner[0].get(reverse("customer", args=[customer.pk]))
    said = page(owner, what="read")
    assert "Ada Thorn" in said
    assert f"customer={customer.pk}" in said


def test_a_deleted_row_shows_what_it_was(fitter: Signed) -> None:
    order = OrderFactory(cloth="blue worsted")
    order.delete()
    row = changes()[0][0]
    assert (row.what, row.done) == ("Order", "deleted")
    assert ("cloth", "blue worsted", "") in [
        (one.name, one.before, one.after) for one in row.differences
    ]
    assert dt.datetime.now(dt.UTC) - row.at < dt.timedelta(minutes=5)
