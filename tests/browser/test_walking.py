"""The page that walks a pattern, in a real browser."""

from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tailorshop.models import Role
from tests.browser.conftest import SignedIn, axe, too_small
from tests.factories import PatternVersionFactory
from tests.walking.test_page import high_crown

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("width", [1024, 390])
def test_walked_page_is_accessible_and_never_wider_than_the_screen(
    signed_in: SignedIn, live_server: Any, width: int
) -> None:
    version = PatternVersionFactory(sides=high_crown())
    page = signed_in(Role.WORKROOM)
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{live_server}{reverse('pattern-check', args=[version.pattern_id, 1])}")
    expect(page.get_by_role("columnheader", name="Wearer's right")).to_be_visible()
    expect(page.get_by_text("look here")).to_have_count(1)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    axe(page)
    assert too_small(page, 48) == []
