"""The record's pages in a real browser: accessible, quiet in the console, large enough to touch."""

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect

from tests.factories import (
    ArmCarriageFactory,
    CustomerFactory,
    FigureNoteFactory,
    FittingFactory,
    MeasurementFactory,
    MeasurementSetFactory,
    OrderFactory,
    PatternVersionFactory,
    TicketFactory,
    UserFactory,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
}
TOUCHED = """
    [...document.querySelectorAll('a, button, select, textarea, summary, input:not([type=hidden])')]
    .filter(e => e.getClientRects().length && !e.classList.contains('skip'))
    .map(e => [e, (['radio', 'checkbox'].includes(e.type) ? e.closest('label') : e)])
    .map(([e, t]) => [e.outerHTML.slice(0, 80), t.getBoundingClientRect().height])
    .filter(([, height]) => height < 48)
"""


class Shop:
    """A page of somebody signed in, and what the browser complained about."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        self.complaints: list[str] = []
        page.on("console", lambda said: self.complaints.append(said.text))
        page.on("pageerror", lambda fault: self.complaints.append(str(fault)))

    def open(self, at: str) -> None:
        self.page.goto(self.address + at)

    def check(self) -> None:
        found = Axe().run(self.page, options=RULES).response["violations"]
        assert [(v["id"], [n["html"] for n in v["nodes"]]) for v in found] == []
        assert self.complaints == []
        assert self.page.evaluate(TOUCHED) == []
        assert self.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.fixture
def shop(browser: Browser, live_server: Any, request: pytest.FixtureRequest) -> Iterator[Shop]:
    client = Client()
    client.force_login(UserFactory())
    context = browser.new_context(**getattr(request, "param", {}))
    cookie = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    yield Shop(context.new_page(), live_server.url)
    context.close()


def full_customer() -> dict[str, str]:
    """Addresses of pages about a customer of whom everything is kept."""
    customer = CustomerFactory(compare_with="men", email="who@example.org", address="Long Row")
    FigureNoteFactory(customer=customer, word="dropped_shoulder", side="right")
    ArmCarriageFactory(customer=customer, forward_hang_deg=7)
    for _ in range(2):
        taken = MeasurementSetFactory(customer=customer)
        MeasurementFactory(measurement_set=taken, value_mm=1400, as_entered="140")
    order = OrderFactory(customer=customer, pattern_version=PatternVersionFactory())
    order.inlays.create(side="left", place="cuff", as_cut_mm=40, left_mm=40)
    TicketFactory(fitting=FittingFactory(order=order))
    of_customer = ("customer", "customer-edit", "figure-note-new", "carriage-edit")
    return {
        **{name: reverse(name) for name in ("today", "customer-list", "customer-new")},
        **{name: reverse(name) for name in ("order-list", "own-settings")},
        **{name: reverse(name, args=[customer.pk]) for name in of_customer},
        **{name: reverse(name, args=[customer.pk]) for name in ("measures-new", "order-new")},
        **{name: reverse(name, args=[taken.pk]) for name in ("measures", "measures-edit")},
        **{name: reverse(name, args=[order.pk]) for name in ("order", "order-edit")},
        "order-inlays": reverse("order-inlays", args=[order.pk]),
    }


@pytest.mark.parametrize(
    "shop",
    [
        {"viewport": {"width": 1024, "height": 768}},
        {"viewport": {"width": 320, "height": 640}},
        {"viewport": {"width": 1024, "height": 768}, "forced_colors": "active"},
    ],
    indirect=True,
    ids=["tablet", "narrow", "forced colours"],
)
def test_every_page_is_accessible_quiet_touchable_and_needs_no_sideways_scrolling(
    shop: Shop,
) -> None:
    for at in full_customer().values():
        shop.open(at)
        shop.check()


def test_a_note_of_the_figure_is_made_removed_and_put_back_without_leaving_the_page(
    shop: Shop,
) -> None:
    customer = CustomerFactory()
    shop.open(customer.get_absolute_url())
    figure = shop.page.get_by_role("region", name="Figure")
    figure.get_by_text("Note something of the figure").click()
    figure.get_by_label("Word").select_option("Dropped shoulder")
    figure.get_by_role("button", name="Note it").click()
    expect(figure.get_by_text("Say which one")).to_be_visible()
    # the browser itself reports the 422 answer in its console: that one is meant
    assert all("422" in said for said in shop.complaints)
    shop.complaints.clear()
    figure.get_by_label("Side").select_option("wearer's left")
    figure.get_by_role("button", name="Note it").click()
    remove = figure.get_by_role("button", name="Remove Dropped shoulder, wearer's left, clear")
    expect(remove).to_be_visible()
    shop.check()
    remove.click()
    figure.get_by_role("button", name="Put it back").click()
    expect(remove).to_be_visible()
    assert customer.figure_notes.count() == 1
    assert shop.page.url.endswith(customer.get_absolute_url())
    shop.check()


def test_measures_are_typed_by_keyboard_alone(shop: Shop) -> None:
    customer = CustomerFactory()
    shop.open(reverse("measures-new", args=[customer.pk]))
    shop.page.get_by_label("Chest girth, first reading").focus()
    shop.page.keyboard.type("101,5")
    shop.page.keyboard.press("Tab")
    shop.page.keyboard.type("40 in")
    shop.page.keyboard.press("Enter")
    expect(shop.page.get_by_role("heading", level=1)).to_contain_text("Measures of")
    expect(shop.page.get_by_role("cell", name="101,5; 40 in")).to_be_visible()
    shop.check()


def test_focus_is_drawn_at_least_three_pixels_wide(shop: Shop) -> None:
    shop.open(reverse("customer-new"))
    for _ in range(12):
        shop.page.keyboard.press("Tab")
        width = shop.page.evaluate(
            "parseFloat(getComputedStyle(document.activeElement).outlineWidth)"
        )
        assert width >= 3
