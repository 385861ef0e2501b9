"""The print page in a real browser: accessible, quiet in the console, and following the form."""

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect

from patterns.models import PatternVersion
from tests.factories import UserFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
COMPLAINTS: list[str] = []


@pytest.fixture(params=[1280, 320], ids=["wide", "narrow"])
def page(
    browser: Browser, live_server: Any, version: PatternVersion, request: pytest.FixtureRequest
) -> Iterator[Page]:
    """The print page of somebody signed in; what the browser complained of must be nothing."""
    client = Client()
    client.force_login(UserFactory())
    context = browser.new_context(viewport={"width": request.param, "height": 900})
    cookie = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    opened, complaints = context.new_page(), []
    opened.on("console", lambda said: complaints.append(said.text))
    opened.on("pageerror", lambda fault: complaints.append(str(fault)))
    address = reverse("pattern-print", args=[version.pattern_id, version.number])
    opened.goto(live_server.url + address)
    yield opened
    context.close()
    assert [said for said in complaints if "422" not in said] == []


def _accessible(page: Page) -> None:
    found = Axe().run(page, options=RULES).response["violations"]
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_page_count_follows_the_side_chosen_without_a_new_page(page: Page) -> None:
    _accessible(page)
    pages = page.get_by_role("region", name="What will come out")
    both = pages.locator(".lead").inner_text()
    page.get_by_label("wearer's left", exact=True).check()
    expect(pages.locator(".lead")).not_to_have_text(both)
    expect(page.get_by_label("wearer's left", exact=True)).to_be_focused()
    _accessible(page)


def test_roll_too_narrow_is_refused_beside_its_field_and_a_wide_one_is_measured(
    page: Page,
) -> None:
    page.get_by_label("one sheet off a roll").check()
    pages = page.get_by_role("region", name="What will come out")
    expect(pages).to_contain_text("One sheet, 914 mm wide")
    page.get_by_label("Width of the roll, mm").fill("200")
    page.keyboard.press("Tab")
    expect(page.get_by_text("needs a roll of at least")).to_be_visible()
    _accessible(page)
