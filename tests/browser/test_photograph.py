"""The photograph's page in a real browser: points set by touch and by keyboard, then flattened."""

import json
import re
from typing import Any

import numpy as np
import pytest
from django.urls import reverse
from playwright.sync_api import Browser, Locator, Page, expect

from tailorshop.models import Role
from tests.bringing.files import svg
from tests.bringing.test_photo_page import CAMERA, MARKS, SIZES, on_paper
from tests.browser.conftest import SignedIn, axe, too_small
from tests.factories import PatternVersionFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TABLET, PHONE = {"width": 1024, "height": 768}, {"width": 390, "height": 844}


def opened(page: Page, live_server: Any) -> None:
    """The page with the synthetic photograph taken in."""
    version = PatternVersionFactory()
    page.goto(f"{live_server.url}{reverse('pattern-photo', args=[version.pattern_id])}")
    picture = CAMERA.picture([*on_paper().values()], MARKS)
    chosen = {"name": "sleeve.jpg", "mimeType": "image/jpeg", "buffer": picture}
    page.get_by_label("Photograph", exact=True).set_input_files(chosen)
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_role("heading", name="Distances on the paper")).to_be_visible()
    page.wait_for_load_state()  # its script listens from then on


def kept(page: Page) -> dict[str, list[list[float]]]:
    found: dict[str, list[list[float]]] = json.loads(page.locator("#points").input_value())
    return found


def screen(page: Page, px: Any) -> tuple[float, float]:
    """Where a pixel of the picture is on the screen; scrolled into view."""
    frame: Locator = page.locator("#frame")
    frame.scroll_into_view_if_needed()
    spot = page.evaluate(
        """([x, y]) => { const p = document.getElementById('picture');
        const at = new DOMPoint(x, y).matrixTransform(p.getScreenCTM()); return [at.x, at.y]; }""",
        [float(n) for n in px],
    )
    return float(spot[0]), float(spot[1])


def test_points_are_set_by_touch_and_a_tap_too_many_is_told(
    browser: Browser, signed_in: SignedIn, live_server: Any, page: Page
) -> None:
    signed_in(Role.FITTER)
    touching = browser.new_context(
        has_touch=True,
        viewport={"width": 1024, "height": 900},
        storage_state=page.context.storage_state(),
    )
    tablet = touching.new_page()
    opened(tablet, live_server)
    for corner in CAMERA.pixels(MARKS):
        tablet.touchscreen.tap(*screen(tablet, corner))
    marks = np.array(kept(tablet)["marks"])
    assert marks.shape == (4, 2)
    pixel = 3000 / 990  # of the picture, for one of the screen
    assert np.abs(marks - CAMERA.pixels(MARKS)).max() < 2 * pixel
    expect(tablet.locator("#said")).to_contain_text("4 of at most 4 points set. Point 4 is chosen")
    tablet.touchscreen.tap(*screen(tablet, (1500, 1200)))
    expect(tablet.locator("#said")).to_contain_text("All 4 points of this are set")
    tablet.get_by_role("button", name="Move left").tap()
    assert kept(tablet)["marks"][3][0] == pytest.approx(marks[3][0] - 1, abs=0.02)
    touching.close()


def test_a_point_is_dragged_with_the_mouse(signed_in: SignedIn, live_server: Any) -> None:
    page = signed_in(Role.FITTER)
    page.set_viewport_size({"width": 1024, "height": 900})
    opened(page, live_server)
    page.mouse.click(*screen(page, (1000, 1000)))
    page.mouse.move(*screen(page, (1000, 1000)))
    page.mouse.down()
    page.mouse.move(*screen(page, (1300, 1100)), steps=4)
    page.mouse.up()
    (point,) = kept(page)["marks"]
    assert np.abs(np.array(point) - (1300, 1100)).max() < 6


def test_everything_is_done_by_keyboard(signed_in: SignedIn, live_server: Any) -> None:
    page = signed_in(Role.FITTER)
    opened(page, live_server)
    frame = page.get_by_role("application")
    frame.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    before = kept(page)["marks"]
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    after = kept(page)["marks"]
    assert after[0] == before[0]
    assert after[1] == pytest.approx([before[1][0] + 1, before[1][1] + 10], abs=0.02)
    page.keyboard.press("n")
    expect(page.locator("#said")).to_contain_text("Point 1 is chosen")
    page.keyboard.press("Delete")
    assert len(kept(page)["marks"]) == 1
    page.get_by_label("What you set points on").select_option("top sleeve head")
    page.get_by_role("button", name="Add a point").press("Enter")
    assert len(kept(page)["top sleeve head"]) == 1
    page.get_by_role("button", name="Larger picture").press("Enter")
    expect(page.locator("#picture")).to_have_attribute("width", "200%")


def test_a_marked_photograph_is_flattened_looked_at_and_saved(
    signed_in: SignedIn, live_server: Any
) -> None:
    page = signed_in(Role.FITTER)
    opened(page, live_server)
    lines = {"marks": MARKS, **on_paper()}
    given = json.dumps({name: CAMERA.pixels(of).tolist() for name, of in lines.items()})
    page.evaluate("text => { document.getElementById('points').value = text }", given)
    for name, size in SIZES.items():
        page.locator(f"#id_{name}").fill(size)
    page.get_by_role("button", name="Flatten and look").click()
    expect(page.get_by_text("agree within 0.0 mm")).to_be_visible()
    axe(page)
    page.get_by_role("button", name="Use these lines").click()
    expect(page.get_by_role("heading", name="What was understood")).to_be_visible()
    axe(page)
    page.get_by_role("button", name="Save as a new version").click()
    expect(page.get_by_text(re.compile(r"Brought in: P-\d+ version 2\."))).to_be_visible()


@pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
def test_both_pages_are_accessible_touchable_and_never_wider_than_the_screen(
    signed_in: SignedIn, live_server: Any, size: dict[str, int]
) -> None:
    version = PatternVersionFactory()
    page = signed_in(Role.FITTER)
    page.set_viewport_size(size)
    bring = f"{live_server.url}{reverse('pattern-bring-in', args=[version.pattern_id])}"
    page.goto(bring)
    sound(page)
    chosen = {"name": "sleeve.svg", "mimeType": "image/svg+xml", "buffer": svg()}
    page.get_by_label("Drawing", exact=True).set_input_files(chosen)
    page.get_by_role("button", name="Read the drawing").click()
    expect(page.get_by_role("heading", name="What was understood of sleeve.svg")).to_be_visible()
    page.get_by_text("All numbers as they were measured").click()
    sound(page)
    page.goto(bring.replace("bring-in", "photo"))
    sound(page)
    opened(page, live_server)
    sound(page)


def sound(page: Page) -> None:
    axe(page)
    assert too_small(page, 48) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
