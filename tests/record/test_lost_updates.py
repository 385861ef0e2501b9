"""Two people save the same record: the later is told, and nothing that was typed is lost."""

import datetime as dt

from django.urls import reverse

from fittings.models import ArmCarriage
from tests.conftest import Signed
from tests.factories import (
    ArmCarriageFactory,
    CustomerFactory,
    MeasurementFactory,
    MeasurementSetFactory,
    OrderFactory,
)


def test_customer_saved_by_another_meanwhile_is_shown_beside_what_was_typed(
    fitter: Signed,
) -> None:
    customer = CustomerFactory(given_name="Ada", family_name="Thorn", phone="111")
    at = reverse("customer-edit", args=[customer.pk])
    typed = {"given_name": "Ada", "family_name": "Thorn", "version": "1"}
    assert fitter[0].post(at, typed | {"phone": "222"}).status_code == 302
    answer = fitter[0].post(at, typed | {"phone": "333"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "<td>222</td><td>333</td>" in page
    assert 'value="333"' in page
    customer.refresh_from_db()
    assert customer.phone == "222"
    # the form now carries the newer version: saving it again is a choice, and is kept
    assert 'name="version" value="2"' in page
    assert fitter[0].post(at, typed | {"phone": "333", "version": "2"}).status_code == 302
    customer.refresh_from_db()
    assert customer.phone == "333"


def test_an_edit_without_its_version_is_not_saved(fitter: Signed) -> None:
    customer = CustomerFactory(given_name="Ada")
    at = reverse("customer-edit", args=[customer.pk])
    answer = fitter[0].post(at, {"given_name": "Bea", "family_name": "Thorn"})
    customer.refresh_from_db()
    assert answer.status_code == 422
    assert customer.given_name == "Ada"


def test_order_changed_meanwhile_names_the_choices_in_words(fitter: Signed) -> None:
    order = OrderFactory(stage="baste", cloth="blue worsted")
    at = reverse("order-edit", args=[order.pk])
    typed = {"garment": "coat", "cloth": "blue worsted", "ordered_on": "2026-01-05"}
    fitter[0].post(at, typed | {"stage": "forward", "version": "1"})
    answer = fitter[0].post(at, typed | {"stage": "finish", "version": "1"})
    assert answer.status_code == 409
    assert "<td>Forward fitting</td><td>Finish fitting</td>" in answer.content.decode()


def test_measures_changed_meanwhile_keep_both_numbers_on_the_page(fitter: Signed) -> None:
    taken = MeasurementSetFactory()
    MeasurementFactory(measurement_set=taken, value_mm=1000, as_entered="100")
    at = reverse("measures-edit", args=[taken.pk])
    typed = {"taken_on": "2026-01-05", "version": "1"}
    fitter[0].post(at, typed | {"chest_girth_1": "101"})
    answer = fitter[0].post(at, typed | {"chest_girth_1": "102"})
    assert answer.status_code == 409
    assert "<td>101</td><td>102</td>" in answer.content.decode()
    assert str(taken.measurements.get().value_mm) == "1010.000"


def test_inlays_saved_meanwhile_are_shown_and_kept(fitter: Signed) -> None:
    order = OrderFactory()
    at = reverse("order-inlays", args=[order.pk])
    fitter[0].post(at, {"version": "1", "cuff_left_cut": "4"})
    answer = fitter[0].post(at, {"version": "1", "cuff_left_cut": "5"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "4.0 cm" in page
    assert 'value="5"' in page
    assert order.inlays.get().as_cut_mm == 40
    assert fitter[0].post(at, {"version": "2", "cuff_left_cut": "5"}).status_code == 302
    assert order.inlays.get().as_cut_mm == 50


def test_arms_observed_meanwhile_are_shown_and_kept(fitter: Signed) -> None:
    customer = CustomerFactory()
    at = reverse("carriage-edit", args=[customer.pk])
    typed = {
        "observed_on": "2026-01-05",
        **dict.fromkeys(("left-hang_way", "left-turn_way"), "1"),
        **dict.fromkeys(("right-hang_way", "right-turn_way"), "1"),
    }
    ArmCarriageFactory(
        customer=customer, side="left", forward_hang_deg=9, observed_on=dt.date(2026, 1, 5)
    )
    answer = fitter[0].post(at, typed | {"left-hang_deg": "4"})
    assert answer.status_code == 409
    assert "9° forward of the hip" in answer.content.decode()
    assert ArmCarriage.objects.get().forward_hang_deg == 9
