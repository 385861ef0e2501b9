"""Trying a sleeve in a browser: by finger, by keyboard, and without a script."""

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from patterns.models import PatternVersion
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, Watch, axe, too_small
from tests.factories import PatternVersionFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SIZES = [(1024, 768), (390, 844)]


def opened(page: Page, base: str, query: str = "") -> PatternVersion:
    version = PatternVersionFactory()
    page.goto(f"{base}/patterns/{version.pattern_id}/1/try/{query}")
    return version


def picture(page: Page) -> Any:
    return page.get_by_role("img", name=re.compile("The sleeve as it will hang"))


@pytest.mark.parametrize(("wide", "high"), SIZES)
def test_page_is_accessible_large_enough_and_no_wider_than_the_screen(
    signed_in: SignedIn, live_server: Any, watch: Watch, wide: int, high: int
) -> None:
    watch.expected.append("422")  # how a query that cannot be read is answered
    page = signed_in(Role.FITTER, units="mm")
    page.set_viewport_size({"width": wide, "height": high})
    for query in ("", "?pitch=8&hindarm=12&forearm_cuff=5", "?pitch=20&hindarm=-20", "?pitch=x"):
        opened(page, live_server.url, query)
        axe(page)
        assert too_small(page, 48) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_keys_move_the_sleeve_one_step_each_and_the_address_remembers(
    signed_in: SignedIn, live_server: Any
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    opened(page, live_server.url)
    expect(page.get_by_role("button", name="Take these as a new version")).to_be_disabled()
    for _ in range(5):
        page.get_by_role("button", name="Pitch: cuff forward").click()
    expect(page.locator("#said-pitch")).to_have_text("5 mm cuff forward")
    page.get_by_role("button", name="Pitch: cuff back").click()
    expect(page.locator("#said-pitch")).to_have_text("4 mm cuff forward")
    expect(page.get_by_text("3° forward of plumb")).to_be_visible()
    expect(page).to_have_url(re.compile(r"\?side=left&pitch=4$"))
    page.reload()
    expect(page.get_by_label("Pitch", exact=True)).to_have_value("4")
    page.get_by_role("radio", name="Wearer's right").check()
    expect(page.get_by_role("heading", name="Wearer's right as it will hang")).to_be_visible()
    page.get_by_role("link", name="Put back").click()
    expect(page.locator("#said-pitch")).to_have_text("as it is")
    expect(page.get_by_role("radio", name="Wearer's right")).to_be_checked()


def test_slide_keeps_its_focus_while_it_is_moved_by_keyboard(
    signed_in: SignedIn, live_server: Any
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    opened(page, live_server.url)
    slide = page.get_by_label("Hindarm seam", exact=True)
    slide.focus()
    for _ in range(12):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#said-hindarm")).to_have_text("12 mm up and out")
    expect(slide).to_be_focused()
    told = picture(page).locator("desc").first
    expect(told).to_contain_text("the hindarm seam shows 1.4 mm from the side")


def test_refusal_stands_where_the_drawing_was_and_goes_when_moved_back(
    signed_in: SignedIn, live_server: Any
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    opened(page, live_server.url, "?pitch=20&hindarm=-6")
    expect(picture(page)).to_have_count(0)
    expect(page.get_by_text("recut the sleeve instead")).to_be_visible()
    expect(page.get_by_label("Pitch", exact=True)).to_have_value("20")
    page.get_by_label("Pitch", exact=True).fill("0")
    expect(picture(page)).to_be_visible()


def test_fitter_takes_what_was_tried_as_a_new_version(
    signed_in: SignedIn, live_server: Any
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    version = opened(page, live_server.url)
    page.get_by_role("button", name="Crown: higher").click()
    page.get_by_role("button", name="Forearm, ironed: seam only").click()
    expect(page.locator("#said-forearm_ironed")).to_have_text("ironed: seam only")
    take = page.get_by_role("button", name="Take these as a new version")
    expect(take).to_be_enabled()
    page.get_by_label("What it is for").fill("crown short at the baste")
    take.click()
    expect(page.get_by_text("version 2, wearer's left changed")).to_be_visible()
    taken = PatternVersion.objects.get(pattern=version.pattern, number=2)
    assert taken.note == "crown short at the baste"
    assert taken.sides["left"]["sleeve"]["crown_height_mm"] == 161


def test_plain_form_does_it_all_without_a_script(
    browser: Browser, signed_in: SignedIn, live_server: Any
) -> None:
    cookies = signed_in(Role.FITTER, units="mm").context.cookies()
    context = browser.new_context(java_script_enabled=False)
    context.add_cookies(cookies)  # type: ignore[arg-type]
    page = context.new_page()
    version = opened(page, live_server.url)
    for _ in range(2):
        page.get_by_role("button", name="Pitch: cuff forward").click()
    expect(page.locator("#said-pitch")).to_have_text("2 mm cuff forward")
    page.get_by_label("What it is for").fill("no script")
    page.get_by_role("button", name="Take these as a new version").click()
    assert PatternVersion.objects.filter(pattern=version.pattern).count() == 2
    context.close()
