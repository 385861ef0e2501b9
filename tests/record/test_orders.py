"""Orders and their inlays."""

import datetime as dt
import re
from decimal import Decimal

import pytest
from django.urls import reverse

from fittings.models import Order
from tests.conftest import Signed
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    OrderFactory,
    PatternFactory,
    PatternVersionFactory,
    TicketFactory,
)

NEW = {
    "garment": "coat",
    "cloth": "grey flannel",
    "stage": "measured",
    "ordered_on": "2026-01-05",
    "version": "",
}


def test_list_shows_the_soonest_promised_first_and_the_unpromised_last(fitter: Signed) -> None:
    OrderFactory(cloth="no promise")
    OrderFactory(cloth="later", promised_on=dt.date(2026, 9, 1))
    OrderFactory(cloth="sooner", promised_on=dt.date(2026, 3, 1))
    page = fitter[0].get(reverse("order-list")).content.decode()
    assert page.index("sooner") < page.index("later") < page.index("no promise")


@pytest.mark.parametrize(
    ("stage", "seen"),
    [("open", {"tweed"}), ("delivered", {"serge"}), ("all", {"tweed", "serge"}), ("cut", set())],
)
def test_list_is_filtered_by_stage(fitter: Signed, stage: str, seen: set[str]) -> None:
    OrderFactory(cloth="tweed", stage="baste")
    OrderFactory(cloth="serge", stage="delivered")
    page = fitter[0].get(reverse("order-list"), {"stage": stage}).content.decode()
    assert {cloth for cloth in ("tweed", "serge") if cloth in page} == seen


def test_list_is_searched_by_customer_and_cloth(fitter: Signed) -> None:
    OrderFactory(cloth="tweed", customer=CustomerFactory(family_name="Thorn"))
    OrderFactory(cloth="tweed", customer=CustomerFactory(family_name="Ashby"))
    page = fitter[0].get(reverse("order-list"), {"q": "thorn tweed"}).content.decode()
    assert "Thorn" in page
    assert "Ashby" not in page


def test_a_new_order_gets_its_number_and_customer(fitter: Signed) -> None:
    customer = CustomerFactory()
    answer = fitter[0].post(reverse("order-new", args=[customer.pk]), NEW)
    order = Order.objects.get()
    assert answer["Location"] == order.get_absolute_url()
    assert (order.number, order.customer) == ("O-0001", customer)


def test_only_patterns_of_this_customer_that_are_in_use_are_offered(fitter: Signed) -> None:
    customer = CustomerFactory()
    mine = OrderFactory(customer=customer, pattern_version=PatternVersionFactory())
    assert mine.pattern_version is not None
    newer = PatternVersionFactory(pattern=mine.pattern_version.pattern, number=2)
    retired = PatternVersionFactory(pattern=PatternFactory(retired_on=dt.date(2026, 1, 1)))
    OrderFactory(customer=customer, pattern_version=retired)
    another = OrderFactory(pattern_version=PatternVersionFactory()).pattern_version
    at = reverse("order-new", args=[customer.pk])
    assert another is not None
    for version, status in ((newer, 302), (retired, 422), (another, 422)):
        answer = fitter[0].post(at, NEW | {"pattern_version": str(version.pk)})
        assert answer.status_code == status


def test_a_promise_before_the_order_is_asked_about(fitter: Signed) -> None:
    at = reverse("order-new", args=[CustomerFactory().pk])
    answer = fitter[0].post(at, NEW | {"promised_on": "2025-12-31"})
    assert answer.status_code == 422
    assert "before the day it was ordered" in answer.content.decode()


def test_page_leads_to_a_fitting_and_to_a_pattern_when_it_has_none(fitter: Signed) -> None:
    bare = OrderFactory()
    page = fitter[0].get(bare.get_absolute_url()).content.decode()
    assert reverse("fitting-new", args=[bare.pk]) in page
    assert reverse("pattern-new", args=[bare.pk]) in page
    cut = OrderFactory(pattern_version=PatternVersionFactory())
    page = fitter[0].get(cut.get_absolute_url()).content.decode()
    assert reverse("pattern-new", args=[cut.pk]) not in page


def test_page_shows_fittings_and_the_newest_revision_of_a_ticket(fitter: Signed) -> None:
    fitting = FittingFactory()
    first = TicketFactory(fitting=fitting, number="T-0009")
    TicketFactory(fitting=fitting, number="T-0009", revision=2, supersedes=first)
    page = fitter[0].get(fitting.order.get_absolute_url()).content.decode()
    assert "T-0009 revision 2" in page
    assert "T-0009 revision 1" not in page
    assert fitting.get_absolute_url() in page


def test_usual_inlays_are_filled_in_when_asked_but_not_saved(fitter: Signed) -> None:
    order = OrderFactory()
    at = reverse("order-inlays", args=[order.pk])
    assert not re.search(r'name="cuff_\w+" value', fitter[0].get(at).content.decode())
    answer = fitter[0].post(at, {"version": "1", "usual": "1", "cuff_left_cut": "6"})
    page = answer.content.decode()
    assert "not saved yet" in page
    assert 'name="cuff_left_cut" value="6"' in page
    assert 'name="cuff_right_cut" value="4.0 cm"' in page
    assert not order.inlays.exists()


def test_what_remains_is_all_that_was_cut_until_it_is_said(fitter: Signed) -> None:
    order = OrderFactory()
    at = reverse("order-inlays", args=[order.pk])
    sent = {"version": "1", "cuff_left_cut": "4,5", "cuff_right_cut": "5", "cuff_right_left": "2"}
    assert fitter[0].post(at, sent).status_code == 302
    left, right = order.inlays.get(side="left"), order.inlays.get(side="right")
    assert (left.as_cut_mm, left.left_mm) == (45, 45)
    assert (right.as_cut_mm, right.left_mm) == (50, 20)


def test_more_cannot_remain_than_was_cut(fitter: Signed) -> None:
    order = OrderFactory()
    sent = {"version": "1", "cuff_left_cut": "4", "cuff_left_left": "5"}
    answer = fitter[0].post(reverse("order-inlays", args=[order.pk]), sent)
    assert answer.status_code == 422
    assert "cannot be given back" in answer.content.decode()
    assert not order.inlays.exists()


def test_an_inlay_shown_rounded_in_inches_and_left_alone_stays_exact(fitter: Signed) -> None:
    order = OrderFactory()
    order.inlays.create(side="left", place="cuff", as_cut_mm=Decimal(45), left_mm=Decimal(10))
    fitter[1].units = "in"
    fitter[1].save()
    at = reverse("order-inlays", args=[order.pk])
    assert 'name="cuff_left_left" value="3/8"' in fitter[0].get(at).content.decode()
    sent = {"version": "1", "cuff_left_cut": "1 3/4", "cuff_left_left": "3/8"}
    assert fitter[0].post(at, sent).status_code == 302
    inlay = order.inlays.get()
    assert (inlay.as_cut_mm, inlay.left_mm) == (45, 10)
    assert inlay.history.count() == 1


def test_an_inlay_cleared_is_gone(fitter: Signed) -> None:
    order = OrderFactory()
    order.inlays.create(side="left", place="cuff", as_cut_mm=45, left_mm=10)
    fitter[0].post(reverse("order-inlays", args=[order.pk]), {"version": "1"})
    assert not order.inlays.exists()
