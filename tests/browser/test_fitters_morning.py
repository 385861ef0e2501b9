"""A fitter's morning: what is expected is read, one is planned, one is started by one tap."""

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from fittings.models import Fitting, PlannedFitting, TicketLine
from tailorshop.models import Role, User
from tests.browser.conftest import SignedIn, axe, too_small
from tests.diary.plans import on, planned
from tests.factories import CustomerFactory, FittingFactory, OrderFactory, TicketFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHONE, TABLET = {"width": 390, "height": 844}, {"width": 1024, "height": 768}


def sound(page: Page, least: int = 48) -> None:
    """Nobody is shut out, everything can be touched, and nothing runs off the screen."""
    axe(page)
    assert too_small(page, least) == [], page.url
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), page.url


@pytest.mark.parametrize("size", [TABLET, PHONE])
def test_from_today_to_the_fitting_by_one_tap(
    signed_in: SignedIn, live_server: Any, size: Any
) -> None:
    page = signed_in(Role.FITTER, first_name="Nora", last_name="Becker")
    nora = User.objects.get(first_name="Nora")
    customer = CustomerFactory(given_name="Iva", family_name="Ostrander")
    first = planned(on(0, 10), stage="forward", with_whom=nora, customer=customer)
    tomorrow = planned(on(1, 10), with_whom=nora)
    ticket = TicketFactory(fitting=FittingFactory(order=tomorrow.order))
    for position in (1, 2, 3):
        TicketLine.objects.create(ticket=ticket, position=position, content={})
    page.set_viewport_size(size)
    page.goto(f"{live_server.url}/")
    expect(page.get_by_role("heading", name="Fittings today")).to_be_visible()
    expect(page.get_by_text("3 lines are open")).to_be_visible()
    sound(page)
    _plan(page, live_server, nora)
    page.goto(f"{live_server.url}/")
    page.get_by_role("button", name="Start the fitting: Iva Ostrander").click()
    page.wait_for_url(re.compile(r"/fittings/\d+/$"))
    expect(page.get_by_text("Started: ")).to_be_visible()
    fitting = Fitting.objects.get(stage="forward")
    assert page.url.endswith(fitting.get_absolute_url())
    first.refresh_from_db()
    assert first.fitting == fitting


def _plan(page: Page, live_server: Any, nora: User) -> None:
    """From the diary, all by tapping but the day, which the diary carries along."""
    order = OrderFactory(customer=CustomerFactory(given_name="Ola", family_name="Winterbourne"))
    page.get_by_role("link", name="The diary").click()
    sound(page)
    page.get_by_role("link", name="Month").click()
    sound(page)
    page.goto(f"{live_server.url}/diary/?view=day&on={on(1):%Y-%m-%d}")
    page.get_by_role("link", name="Plan a fitting").click()
    page.get_by_role("link", name=f"Plan it for {order}").click()
    page.get_by_role("radio", name="10", exact=True).check()
    page.get_by_role("radio", name=":30", exact=True).check()
    sound(page, 64)
    page.get_by_role("button", name="Plan it").click()
    expect(page.get_by_text("has another fitting then: 10:00 to 10:45")).to_be_visible()
    sound(page)
    row = PlannedFitting.objects.get(order=order)
    assert (row.starts_at, row.with_whom) == (on(1, 10, 30), nora)
