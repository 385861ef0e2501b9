"""The pattern history in a real browser: from the time line to a cut order, and an overlay."""

from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from fittings.models import Stage
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, axe, too_small
from tests.factories import OrderFactory
from tests.history.test_garment_only import noted
from tests.ticket.worked import LEFT_FORWARD, issued

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def fits(page: Any, width: int) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth") <= width)


def test_two_taps_from_the_time_line_cut_the_next_order_from_an_old_version(
    signed_in: SignedIn, live_server: Any
) -> None:
    ticket = issued(LEFT_FORWARD)
    customer, before = ticket.order.customer, ticket.pattern_before
    following = OrderFactory(customer=customer, stage=Stage.MEASURED)
    noted(ticket.order)
    page = signed_in(Role.FITTER)
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{live_server}{reverse('customer-patterns', args=[customer.pk])}")
    expect(page.get_by_role("img", name="Patterns through the years")).to_be_visible()
    assert fits(page, 390)
    assert too_small(page, 48) == []
    axe(page)
    page.get_by_role("link", name=f"Start a garment from it {before}").click()
    expect(page.get_by_text("the pattern does not know")).to_be_visible()
    axe(page)
    page.get_by_role("button", name="Cut it from this version").click()
    expect(page.get_by_text(f"{following} is cut from {before}.")).to_be_visible()
    axe(page)
    following.refresh_from_db()
    assert following.pattern_version == before


def test_an_overlay_is_laid_anew_as_points_are_chosen_and_the_address_keeps_them(
    signed_in: SignedIn, live_server: Any
) -> None:
    after = issued(LEFT_FORWARD).pattern_after
    assert after is not None
    page = signed_in(Role.WORKROOM)
    page.set_viewport_size({"width": 1024, "height": 768})
    address = reverse("pattern-overlay", args=[after.pattern_id, after.number])
    page.goto(f"{live_server}{address}")
    expect(page.get_by_text("Laid as drafted").first).to_be_visible()
    page.get_by_label("Laid on this point").select_option("Crown notch")
    expect(page.get_by_text("was shifted").first).to_be_visible()
    expect(page.get_by_text("has no such point").first).to_be_visible()
    page.wait_for_url("**first=crown**")
    page.reload()
    expect(page.get_by_label("Laid on this point")).to_have_value("crown")
    assert fits(page, 1024)
    assert too_small(page, 48) == []
    axe(page)
