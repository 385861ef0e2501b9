"""The big shop to measure speed on: whole, openable, only ever made in an empty record."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from fittings.demo import big
from fittings.management.commands import big_shop
from fittings.models import Customer, Fitting, Order, Ticket
from patterns.models import Pattern, PatternVersion
from tailorshop.models import User
from tests.factories import CustomerFactory, PatternFactory

pytestmark = pytest.mark.django_db

MORE = 100  # two blocks, in each one order in hand


def test_big_shop_refuses_a_record_in_use_because_invented_people_do_not_belong_there() -> None:
    CustomerFactory()

    with pytest.raises(CommandError, match="empty"):
        call_command("big_shop", customers=1, stdout=StringIO())

    assert Customer.objects.count() == 1


def test_big_shop_is_cast_in_blocks_and_its_pages_open(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(big, "BLOCK", 50)
    monkeypatch.setattr(big_shop, "BLOCK", 50)
    told = StringIO()

    call_command("big_shop", customers=MORE, stdout=told)

    cast = Customer.objects.filter(email__startswith="c", email__endswith="@demo.invalid")
    cast = cast.filter(phone__startswith="000 ").exclude(phone__startswith="000 555")
    assert cast.count() == MORE
    assert "50 of 100" in told.getvalue()
    assert "100 of 100" in told.getvalue()
    of_cast = Order.objects.filter(customer__in=cast)
    assert of_cast.count() == 4 * MORE
    assert of_cast.open().count() == 2
    fittings = Fitting.objects.filter(order__in=of_cast)
    assert {fitting.entries.count() for fitting in fittings[:20]} == {5}
    papers = Ticket.objects.filter(order__in=of_cast)
    assert {paper.lines.count() for paper in papers} <= {1, 2}
    # A copy belongs together as the block does: the paper, its fitting and its pattern.
    for paper in papers:
        assert paper.pattern_after is not None
        assert paper.fitting.order == paper.order
        assert paper.pattern_after.parent == paper.pattern_before
        assert paper.pattern_after.pattern.name.startswith(paper.order.customer.family_name)
    _opens_its_pages(cast.latest("pk"))


def _opens_its_pages(customer: Customer) -> None:
    client = Client()
    client.force_login(User.objects.get(username="ines"))
    ticket = Ticket.objects.filter(order__customer=customer)[0]
    fitting = Fitting.objects.filter(order__customer=customer)[0]
    for address in (
        customer.get_absolute_url(),
        reverse("customer-patterns", args=[customer.pk]),
        ticket.get_absolute_url(),
        fitting.get_absolute_url(),
    ):
        assert client.get(address).status_code == 200, address
    # Keys and numbers go on after those that were given by hand.
    assert CustomerFactory().pk > Customer.objects.filter(email__startswith="c").latest("pk").pk
    later = PatternFactory()
    assert Pattern.objects.filter(number=later.number).count() == 1
    assert PatternVersion.objects.count() >= 2 * MORE
