"""Drafting a sleeve in a browser: drawn, refused beside its field, kept; wide and narrow."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from patterns.models import PatternVersion
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, Watch, axe, too_small
from tests.factories import PatternVersionFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def small(page: Page) -> list[str]:
    """What is to be touched and too low; a check box is touched by its label."""
    low = [found for found in too_small(page, 48) if 'type="checkbox"' not in found]
    for label in page.locator(".tick label:visible").all():
        box = label.bounding_box()
        if box is None or box["height"] < 47.5:
            low.append(label.inner_text())
    return low


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (390, 844)])
def test_a_sleeve_is_drafted_drawn_and_kept(
    signed_in: SignedIn, live_server: Any, watch: Watch, width: int, height: int
) -> None:
    watch.expected.append("422")  # a refusal is answered so, and the browser remarks on it
    version = PatternVersionFactory()
    page = signed_in(Role.FITTER)
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{live_server.url}/patterns/{version.pattern.pk}/1/draft/")
    axe(page)
    assert small(page) == []
    page.get_by_label("Cuff, round").fill("40")
    page.get_by_role("button", name="Draw it").first.click()
    expect(page.get_by_text("wider than the elbow")).to_be_visible()
    axe(page)

    page.get_by_label("Cuff, round").fill("26")
    page.get_by_text("Armhole from body measures").click()
    page.get_by_label("Draft the armhole anew").check()
    page.get_by_label("Chest, round").fill("97")
    page.get_by_role("button", name="Draw it").first.click()
    expect(page.get_by_role("heading", name="As drafted, over")).to_be_in_viewport()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    axe(page)
    assert small(page) == []

    page.get_by_label("What it is for").fill("narrower cuff")
    page.get_by_role("button", name="Save as a new version").click()
    expect(page.get_by_role("heading", name="version 2")).to_be_visible()
    kept = PatternVersion.objects.get(number=2)
    assert (kept.parent, kept.note) == (version, "narrower cuff")
