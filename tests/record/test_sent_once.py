"""A double tap or a retry does nothing twice; two states of a record are merged field by field."""

import re
from typing import Any

import pytest
from django.apps import apps
from django.forms import ModelForm
from django.urls import reverse

from fittings.forms.kept import KeptForm
from fittings.models import Customer, Kept, Order
from tailorshop.models import SentOnce
from tests.conftest import Signed
from tests.factories import CustomerFactory, OrderFactory

pytestmark = pytest.mark.django_db
ADA = {"given_name": "Ada", "family_name": "Thorn"}


def identity(signed: Signed, at: str) -> str:
    page = signed[0].get(at).content.decode()
    return re.findall(r'name="sent_once" value="([^"]+)"', page)[0]


def test_the_same_form_sent_twice_keeps_one_customer_and_leads_to_the_same(fitter: Signed) -> None:
    at = reverse("customer-new")
    sent = {**ADA, "sent_once": identity(fitter, at)}
    first, second = (fitter[0].post(at, sent) for _ in range(2))
    assert Customer.objects.count() == 1
    assert second["Location"] == first["Location"] == Customer.objects.get().get_absolute_url()


def test_each_form_that_is_drawn_has_an_identity_of_its_own(fitter: Signed) -> None:
    at = reverse("customer-new")
    assert identity(fitter, at) != identity(fitter, at)


def test_going_back_and_typing_another_is_another_customer(fitter: Signed) -> None:
    at = reverse("customer-new")
    one = identity(fitter, at)
    for name in ("Ada", "Bea"):
        fitter[0].post(at, {**ADA, "given_name": name, "sent_once": one})
    assert Customer.objects.count() == 2


def test_a_form_that_was_refused_can_be_sent_again(fitter: Signed) -> None:
    at, one = reverse("customer-new"), "an-identity"
    assert fitter[0].post(at, {"given_name": "Ada", "sent_once": one}).status_code == 422
    assert not SentOnce.objects.exists()
    assert fitter[0].post(at, {**ADA, "sent_once": one}).status_code == 302


def test_two_people_sending_alike_keep_two(fitter: Signed, owner: Signed) -> None:
    for client in (fitter[0], owner[0]):
        client.post(reverse("customer-new"), {**ADA, "sent_once": "the-same"})
    assert Customer.objects.count() == 2


@pytest.mark.parametrize("name", ["order-new", "measures-new"])
def test_what_begins_something_new_carries_an_identity(fitter: Signed, name: str) -> None:
    customer = CustomerFactory()
    assert identity(fitter, reverse(name, args=[customer.pk]))


def test_an_order_sent_twice_is_one_order(fitter: Signed) -> None:
    at = reverse("order-new", args=[CustomerFactory().pk])
    sent = {"garment": "coat", "stage": "baste", "cloth": "blue", "ordered_on": "2026-01-05"}
    for _ in range(2):
        assert fitter[0].post(at, {**sent, "sent_once": "one"}).status_code == 302
    assert Order.objects.count() == 1


def test_after_a_conflict_one_field_of_theirs_and_one_of_mine_are_kept(fitter: Signed) -> None:
    customer = CustomerFactory(**ADA, phone="111", email="a@example.org")
    at = reverse("customer-edit", args=[customer.pk])
    theirs = {**ADA, "phone": "222", "email": "b@example.org", "version": "1"}
    mine = {**ADA, "phone": "333", "email": "c@example.org", "version": "1"}
    fitter[0].post(at, theirs)
    page = fitter[0].post(at, mine)
    assert page.status_code == 409
    assert 'name="theirs" value="phone"' in page.content.decode()
    merged = {**mine, "version": "2", "theirs": ["phone"]}
    assert fitter[0].post(at, merged).status_code == 302
    customer.refresh_from_db()
    assert (customer.phone, customer.email) == ("222", "c@example.org")


def test_theirs_of_a_date_that_somebody_emptied_is_empty(fitter: Signed) -> None:
    order = OrderFactory(stage="baste", cloth="blue", promised_on=None)
    at = reverse("order-edit", args=[order.pk])
    mine = {"garment": "coat", "stage": "baste", "cloth": "grey", "ordered_on": "2026-01-05"}
    merged = {**mine, "promised_on": "2027-01-05", "version": "1", "theirs": ["promised_on"]}
    assert fitter[0].post(at, merged).status_code == 302
    order.refresh_from_db()
    assert (order.promised_on, order.cloth) == (None, "grey")


def every_form(kind: Any) -> set[Any]:
    below = {one for child in kind.__subclasses__() for one in every_form(child)}
    return below | set(kind.__subclasses__())


def test_every_form_over_a_record_that_people_edit_asks_for_the_version_seen() -> None:
    kept = {model for model in apps.get_models() if issubclass(model, Kept)}
    forms = {one for one in every_form(ModelForm) if one._meta.model in kept}
    assert forms
    assert [one for one in forms if not issubclass(one, KeptForm)] == []
