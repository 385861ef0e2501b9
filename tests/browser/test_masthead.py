"""The bar above every page: one row on a tablet and on a phone, whoever is signed in."""

import itertools

import pytest
from playwright.sync_api import Page, expect

from tailorshop.models import Role
from tests.browser.conftest import SignedIn, axe, open_person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# What is to be touched in the bar and seen, with its box.
TOUCHED = """[...document.querySelectorAll('.masthead :is(a, button, summary, input)')]
  .filter(e => e.checkVisibility() && e.getBoundingClientRect().height > 0)
  .map(e => e.getBoundingClientRect()).map(r => [r.top, r.bottom, r.left, r.right, r.height])"""


@pytest.mark.parametrize("width", [1280, 1024, 768, 390, 320])
def test_the_bar_is_one_row_for_the_owner_who_has_the_most_pages(
    signed_in: SignedIn, width: int
) -> None:
    page = signed_in(Role.OWNER, first_name="Wilhelmina", last_name="Example-Longname")
    page.set_viewport_size({"width": width, "height": 800})
    boxes = page.evaluate(TOUCHED)
    assert len(boxes) >= 4
    assert max(top for top, *_ in boxes) < min(bottom for _, bottom, *_ in boxes)
    assert min(height for *_, height in boxes) >= 47.5
    edges = sorted((left, right) for _, _, left, right, _ in boxes)
    assert all(a[1] <= b[0] + 1 for a, b in itertools.pairwise(edges)), edges
    assert page.evaluate("document.querySelector('.masthead').offsetHeight") <= 80
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_what_drops_down_is_reached_by_keys_and_leads_on(signed_in: SignedIn) -> None:
    page: Page = signed_in(Role.FITTER, first_name="Ida", last_name="Example")
    page.set_viewport_size({"width": 390, "height": 844})
    expect(page.get_by_role("link", name="Customers")).to_be_hidden()
    page.locator("summary", has_text="Pages").focus()
    page.keyboard.press("Enter")
    axe(page)
    for _ in ("Today", "Diary", "Customers"):
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Customers", level=1)).to_be_visible()
    open_person(page)
    page.get_by_role("link", name="My settings").click()
    expect(page.get_by_role("heading", name="My settings", level=1)).to_be_visible()
