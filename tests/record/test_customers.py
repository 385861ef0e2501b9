"""Customers: finding, keeping, showing; what is erased is not shown."""

import datetime as dt

import pytest
from django.urls import reverse

from fittings.models import Customer
from tests.conftest import Signed
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    MeasurementFactory,
    MeasurementSetFactory,
    OrderFactory,
    PatternVersionFactory,
)

NEW = {"given_name": "Ada", "family_name": "Thorn", "version": ""}


def test_list_finds_by_every_word_and_pages_by_fifty(fitter: Signed) -> None:
    CustomerFactory(given_name="Ada", family_name="Thorn")
    for _ in range(50):
        CustomerFactory(family_name="Ashby")
    page = fitter[0].get(reverse("customer-list"), {"q": "thorn ad"}).content.decode()
    assert "Thorn, Ada" in page
    assert "Ashby" not in page
    assert "Page 1 of 2" in fitter[0].get(reverse("customer-list")).content.decode()


def test_list_says_what_to_do_when_nobody_is_found(fitter: Signed) -> None:
    page = fitter[0].get(reverse("customer-list"), {"q": "zzz"}).content.decode()
    assert "Nobody has all these words" in page


def test_a_new_customer_gets_a_number_and_the_next_one_after_it(fitter: Signed) -> None:
    first = fitter[0].post(reverse("customer-new"), NEW)
    fitter[0].post(reverse("customer-new"), NEW | {"given_name": "Bea"})
    ada, bea = Customer.objects.order_by("pk")
    assert first["Location"] == ada.get_absolute_url()
    assert (ada.number, bea.number) == ("C-0001", "C-0002")
    assert ada.record_consent_on is None


def test_a_form_without_a_name_comes_back_with_what_was_typed(fitter: Signed) -> None:
    answer = fitter[0].post(reverse("customer-new"), NEW | {"family_name": "", "phone": "12 34"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="12 34"' in page
    assert 'aria-invalid="true"' in page
    assert not Customer.objects.exists()


def test_page_always_says_what_was_agreed_to(fitter: Signed) -> None:
    customer = CustomerFactory(record_consent_on=None, fitting_photo_consent_on=dt.date(2026, 3, 4))
    page = fitter[0].get(customer.get_absolute_url()).content.decode()
    assert "not agreed yet: ask" in page
    assert "yes, 4 Mar 2026" in page


def test_page_shows_orders_patterns_fittings_and_measures_with_remarks(fitter: Signed) -> None:
    customer = CustomerFactory(compare_with="men")
    order = OrderFactory(customer=customer, pattern_version=PatternVersionFactory())
    FittingFactory(order=order, held_on=dt.date(2026, 2, 2))
    MeasurementFactory(
        measurement_set=MeasurementSetFactory(customer=customer), value_mm=1400, as_entered="140"
    )
    page = fitter[0].get(customer.get_absolute_url()).content.decode()
    assert order.get_absolute_url() in page
    assert order.pattern_version is not None
    assert order.pattern_version.get_absolute_url() in page
    assert "Baste fitting, 2 Feb 2026" in page
    assert "larger than on 99 of 100 men of the survey" in page


@pytest.mark.parametrize("name", ["customer", "customer-edit", "measures-new", "order-new"])
def test_an_erased_customer_is_not_there(fitter: Signed, name: str) -> None:
    customer = CustomerFactory(family_name="Gone", erased_on=dt.date(2026, 1, 1))
    assert fitter[0].get(reverse(name, args=[customer.pk])).status_code == 404


def test_nothing_of_an_erased_customer_is_reached_by_another_way(fitter: Signed) -> None:
    customer = CustomerFactory(family_name="Gone", erased_on=dt.date(2026, 1, 1))
    order = OrderFactory(customer=customer, maker=fitter[1], promised_on=dt.date(2026, 1, 2))
    measures = MeasurementSetFactory(customer=customer)
    FittingFactory(order=order)
    for at in (order.get_absolute_url(), measures.get_absolute_url()):
        assert fitter[0].get(at).status_code == 404
    for name in ("customer-list", "order-list", "today"):
        assert "Gone" not in fitter[0].get(reverse(name)).content.decode(), name


def test_what_is_typed_is_never_taken_as_markup(fitter: Signed) -> None:
    customer = CustomerFactory(notes="<script>alert(1)</script>", family_name='"><img src=x>')
    page = fitter[0].get(customer.get_absolute_url()).content.decode()
    assert "<script>alert" not in page
    assert "<img src=x>" not in page


def test_history_says_who_changed_the_customer(fitter: Signed) -> None:
    customer = CustomerFactory()
    fitter[0].post(reverse("customer-edit", args=[customer.pk]), NEW | {"version": "1"})
    newest = customer.history.first()
    assert newest is not None
    assert newest.history_user == fitter[1]
    assert newest.given_name == "Ada"
