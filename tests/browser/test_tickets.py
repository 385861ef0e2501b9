"""Ticket and pattern pages in a real browser, and a line ticked by touch alone."""

from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from fittings.ticketing.issuing import reissue
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, axe, too_small
from tests.factories import OrderFactory
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TABLET, PHONE = {"width": 1024, "height": 768}, {"width": 390, "height": 844}


@pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
def test_every_page_is_accessible_touchable_and_never_wider_than_the_screen(
    signed_in: SignedIn, live_server: Any, size: dict[str, int]
) -> None:
    old = issued([*LEFT_FORWARD, *RIGHT_BACK])
    new = reissue(old, by=old.issued_by, at=old.issued_at, reason="read again")
    assert new.pattern_after is not None
    order = OrderFactory()
    page = signed_in(Role.OWNER)
    page.set_viewport_size(size)
    for at in (
        reverse("ticket-list") + "?old=1",
        old.get_absolute_url(),
        new.get_absolute_url(),
        reverse("pattern-list"),
        new.pattern_after.pattern.get_absolute_url(),
        new.pattern_after.get_absolute_url(),
        reverse("pattern-new", args=[order.pk]),
        reverse("pattern-branch", args=[new.pattern_after.pattern_id, 1]),
    ):
        page.goto(f"{live_server}{at}")
        axe(page)
        assert too_small(page, 48) == [], at
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), at


def test_a_line_is_ticked_done_and_the_page_says_who(signed_in: SignedIn, live_server: Any) -> None:
    ticket = issued(LEFT_FORWARD)
    page = signed_in(Role.WORKROOM, first_name="Piet", last_name="Maas")
    page.goto(f"{live_server}{ticket.get_absolute_url()}")
    page.get_by_role("button", name="Line 1 is done").click()
    expect(page.get_by_text("done by Piet Maas")).to_be_visible()
    expect(page.get_by_text("another pair of eyes")).to_be_visible()
    axe(page)
