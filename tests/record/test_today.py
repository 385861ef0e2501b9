"""The first page, for the fitting room and for the workroom; and what one chooses for oneself."""

import datetime as dt

from django.urls import reverse
from django.utils import timezone

from tests.conftest import Signed
from tests.factories import CustomerFactory, FittingFactory, OrderFactory, TicketFactory


def test_an_empty_shop_is_told_so_in_words(fitter: Signed) -> None:
    page = fitter[0].get(reverse("today")).content.decode()
    assert "No fitting is written down for today" in page
    assert "Nothing is promised" in page


def test_due_within_a_week_is_shown_and_late_is_said(fitter: Signed) -> None:
    day = timezone.localdate()
    late = OrderFactory(promised_on=day - dt.timedelta(days=1))
    soon = OrderFactory(promised_on=day + dt.timedelta(days=7))
    later = OrderFactory(promised_on=day + dt.timedelta(days=8))
    done = OrderFactory(promised_on=day, stage="delivered")
    page = fitter[0].get(reverse("today")).content.decode()
    assert late.number in page
    assert soon.number in page
    assert later.number not in page
    assert done.number not in page
    assert page.count('badge late">late') == 1


def test_fittings_of_today_and_those_left_unsigned_are_apart(fitter: Signed) -> None:
    FittingFactory(held_on=timezone.localdate(), stage="forward")
    FittingFactory(held_on=dt.date(2026, 2, 2), stage="baste")
    FittingFactory(held_on=dt.date(2026, 2, 3), stage="finish", signed_at=timezone.now())
    page = fitter[0].get(reverse("today")).content.decode()
    assert page.index("Forward fitting") < page.index("Fittings not signed yet")
    assert page.index("Baste fitting") > page.index("Fittings not signed yet")
    assert "Finish fitting" not in page


def test_the_workroom_sees_its_orders_and_the_tickets_but_no_contact(workroom: Signed) -> None:
    customer = CustomerFactory(phone="020 555", email="who@example.org", address="Long Row")
    mine = OrderFactory(customer=customer, maker=workroom[1], promised_on=timezone.localdate())
    other = OrderFactory(customer=customer, promised_on=timezone.localdate())
    ticket = TicketFactory(fitting=FittingFactory(order=mine))
    page = workroom[0].get(reverse("today")).content.decode()
    assert mine.number in page
    assert other.number not in page
    assert ticket.get_absolute_url() in page
    assert mine.get_absolute_url() not in page
    for private in ("020 555", "who@example.org", "Long Row", customer.get_absolute_url()):
        assert private not in page


def test_a_list_that_is_cut_short_says_so(fitter: Signed) -> None:
    for _ in range(10):
        OrderFactory(maker=fitter[1])
    assert "There are more" not in fitter[0].get(reverse("today")).content.decode()
    OrderFactory(maker=fitter[1])
    assert "There are more" in fitter[0].get(reverse("today")).content.decode()


def test_own_settings_are_ones_own_and_change_no_role(workroom: Signed) -> None:
    sent = {"units": "in", "tapping_hand": "left", "role": "owner", "version": "1"}
    assert workroom[0].post(reverse("own-settings"), sent).status_code == 302
    workroom[1].refresh_from_db()
    assert (workroom[1].units, workroom[1].tapping_hand) == ("in", "left")
    assert workroom[1].role == "workroom"


def test_an_unknown_unit_is_refused(workroom: Signed) -> None:
    answer = workroom[0].post(reverse("own-settings"), {"units": "ell", "tapping_hand": "left"})
    assert answer.status_code == 422
