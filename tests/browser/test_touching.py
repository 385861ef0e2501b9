"""Measuring and marking in a browser: by finger, by keys alone, without script; accessible."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from fittings.models import Fitting, Photograph
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, Watch, axe, too_small
from tests.factories import FittingFactory, PatternVersionFactory
from tests.photographs.wearer import ARM, PLUMB, SLEEVE, Touches, photograph_of

pytestmark = pytest.mark.django_db(transaction=True)
TABLET = {"width": 1024, "height": 768}
PHONE = {"width": 390, "height": 844}
Opened = Callable[[str], Page]


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_context_args, "has_touch": True, "viewport": TABLET}


@pytest.fixture
def picture(live_server: Any) -> Photograph:
    fitting = FittingFactory(order__pattern_version=PatternVersionFactory())
    return photograph_of(fitting, fitting.fitter)


@pytest.fixture
def opened(signed_in: SignedIn, live_server: Any, picture: Photograph) -> Opened:
    def open_page(name: str) -> Page:
        page = signed_in(Role.FITTER)
        page.goto(f"{live_server.url}/fittings/photographs/{picture.pk}/{name}/")
        expect(page.locator("#asked")).to_contain_text("Touch")
        page.wait_for_load_state("networkidle")
        return page

    return open_page


def tap(page: Page, *places: tuple[float, float]) -> None:
    """A finger on the picture, at per cent of its width and height."""
    for x, y in places:
        box = page.locator("#touched").bounding_box()
        assert box
        spot = box["x"] + x / 100 * box["width"], box["y"] + y / 100 * box["height"]
        page.touchscreen.tap(*spot)


def tap_all(page: Page, touches: Touches) -> None:
    tap(page, *touches.values())


def angle(fitting: Fitting) -> float:
    found = fitting.entries.standing().get(kind="reading")
    return float(found.data["angle_deg"])


def test_eight_taps_and_a_key_measure_an_arm_and_what_is_kept_is_what_was_shown(
    opened: Opened, picture: Photograph
) -> None:
    page = opened("measure")
    assert too_small(page, 64) == []
    tap(page, (50, 20))
    expect(page.locator("#asked")).to_have_text("Touch the middle of the wearer's left elbow.")
    tap(page, (45, 40), (40, 60))
    tap_all(page, SLEEVE | PLUMB)
    shown = page.locator("#read li").first
    expect(shown).to_contain_text("forward of the sleeve")
    said = float(re.findall(r"[\d.]+", shown.inner_text())[0])
    # A finger lands on whole pixels of a small picture: 10.62 degrees within half a degree.
    assert said == pytest.approx(10.62, abs=0.6)
    axe(page)
    page.get_by_role("button", name="Keep it, wearer's left").click()
    expect(page.locator("#messages")).to_contain_text("Kept. Photograph from the wearer's left")
    assert angle(picture.fitting) == pytest.approx(said, abs=0.11)
    expect(page.get_by_role("button", name="how the wearer's left arm hangs")).to_be_visible()
    axe(page)


def test_a_touch_is_dragged_and_nudged_and_the_angle_follows(
    opened: Opened, picture: Photograph
) -> None:
    page = opened("measure")
    tap_all(page, ARM)
    across = page.locator('[name="arm_end_x"]')
    before = float(across.input_value())
    page.get_by_role("button", name="A little to the picture's left").click()
    # A thousandth of the longer side: 0.8 of 600 pixels.
    assert float(across.input_value()) == pytest.approx(before - 100 * 0.8 / 600, abs=0.011)
    box = page.locator('[data-ring="arm_end"]').bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y, steps=4)
    page.mouse.up()
    assert float(across.input_value()) > 50  # past the shoulder, away from the front
    expect(page.locator("#read")).to_contain_text("behind plumb")
    assert page.locator('[data-ring="arm_end"]').count() == 1


def test_by_keys_alone_an_arm_is_touched_and_kept(opened: Opened, picture: Photograph) -> None:
    page = opened("measure")
    middle = page.get_by_role("button", name="Set in the middle")
    for name, keys in (
        ("arm_top", ["ArrowUp"] * 25),
        ("arm_elbow", []),
        ("arm_end", ["ArrowDown"] * 25),
    ):
        middle.focus()
        page.keyboard.press("Enter")
        page.locator(f'[data-ring="{name}"]').focus()
        for key in keys:
            page.keyboard.press(f"Shift+{key}")
    expect(page.locator("#read")).to_contain_text("Arm 0.0° forward of plumb")
    keep = page.get_by_role("button", name="Keep it")
    keep.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#messages")).to_contain_text("Kept.")
    assert "arm 0.0°" in picture.fitting.entries.get().data["text"]


def test_one_tap_puts_a_pin_two_a_chalk_line_and_a_note_has_words(
    opened: Opened, picture: Photograph
) -> None:
    page = opened("marks")
    assert too_small(page, 64) == []
    tap(page, (30, 30))
    expect(page.locator("#told")).to_have_text("Put: Pin 1.")
    page.get_by_role("button", name="Chalk line", exact=True).click()
    tap(page, (40, 40), (60, 70))
    expect(page.locator("#told")).to_have_text("Put: Chalk line 2.")
    page.get_by_role("button", name="Note", exact=True).click()
    tap(page, (70, 30))
    page.keyboard.type("Slack here")
    page.get_by_role("button", name="Save the mark").click()
    expect(page.locator("#told")).to_have_text("Put: Note 3: Slack here.")
    axe(page)
    page.get_by_role("button", name="Take back: Pin 1").click()
    expect(page.locator("#told")).to_have_text("Taken back: Pin 1.")
    pin, chalk, _ = picture.marks.all()
    assert pin.points[0] == pytest.approx([0.3, 0.3], abs=0.005)
    assert chalk.points[1] == pytest.approx([0.6, 0.7], abs=0.005)


def test_a_pin_put_without_a_connection_waits_and_goes_up_once(
    opened: Opened, picture: Photograph, watch: Watch
) -> None:
    watch.expected += ["ERR_INTERNET_DISCONNECTED", "htmx:", "Failed to fetch"]
    page = opened("marks")
    page.context.set_offline(True)
    tap(page, (30, 30))
    expect(page.get_by_text("waiting on this device").first).to_be_visible()
    page.context.set_offline(False)
    expect(page.get_by_role("button", name="Take back: Pin 1")).to_be_visible(timeout=20000)
    assert [mark.number for mark in picture.marks.all()] == [1]


def test_one_over_the_other_shows_more_or_less_of_the_later(
    opened: Opened, picture: Photograph, live_server: Any
) -> None:
    later = photograph_of(picture.fitting, picture.made_by, shade=60)
    page = opened("measure")
    for one in (picture, later):
        page.goto(f"{live_server.url}/fittings/photographs/{one.pk}/measure/")
        page.wait_for_load_state("networkidle")
        tap_all(page, ARM)
        page.get_by_role("button", name="Keep it").click()
        expect(page.locator("#messages")).to_contain_text("Kept.")
    compare = f"{live_server.url}/fittings/photographs/{picture.pk}/compare/"
    for address in (compare, f"{compare}?with={later.pk}"):
        page.goto(address)
        assert too_small(page, 64) == []
        axe(page)
    page.get_by_role("link", name="One over the other").click()
    page.get_by_role("button", name="Only the later").click()
    expect(page.locator("#later")).to_have_attribute("opacity", "1")
    page.get_by_label("How much of the later one is seen").press("ArrowLeft")
    expect(page.locator("#later")).to_have_attribute("opacity", "0.95")
    assert too_small(page, 64) == []
    axe(page)


def test_without_script_an_arm_is_measured_by_numbers(
    browser: Browser, signed_in: SignedIn, live_server: Any, picture: Photograph
) -> None:
    known = signed_in(Role.FITTER).context.storage_state()
    context = browser.new_context(java_script_enabled=False, storage_state=known, viewport=PHONE)
    page = context.new_page()
    page.goto(f"{live_server.url}/fittings/photographs/{picture.pk}/measure/")
    page.get_by_text("Places as numbers").click()
    for name, (x, y) in ARM.items():
        page.locator(f'[name="{name}_x"]').fill(str(x))
        page.locator(f'[name="{name}_y"]').fill(str(y))
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator("#messages")).to_contain_text("arm 10.6°")
    context.close()
