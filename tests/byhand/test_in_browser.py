"""A sleeve read by hand in a browser: dragged by a finger, by keys alone, by the steps."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from fittings.models import Entry, Fitting
from tailorshop.models import Role
from tests.browser.conftest import (
    SignedIn,
    Watch,
    axe,
    base_url,
    browser_type_launch_args,
    signed_in,
    too_small,
    watch,
)
from tests.factories import ArmCarriageFactory, FittingFactory, PatternVersionFactory

__all__ = ["base_url", "browser_type_launch_args", "signed_in", "watch"]
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SIDES = ("left", "right")


TABLET, TELEPHONE = (1024, 768), (390, 844)
on_both = pytest.mark.parametrize(
    "page", [TABLET, TELEPHONE], indirect=True, ids=["tablet", "telephone"]
)


@pytest.fixture
def page(browser: Browser, request: Any) -> Iterator[Page]:
    """Touched, not clicked."""
    width, height = getattr(request, "param", TABLET)
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True)
    yield context.new_page()
    context.close()


@pytest.fixture
def fitting(transactional_db: None) -> Fitting:
    return FittingFactory(order__pattern_version=PatternVersionFactory())


def figure(page: Page, side: str, what: str) -> Locator:
    """The opened figure of one side."""
    found = page.locator(f"#{side}-{what}")
    found.locator("summary").first.tap()
    return found


def drag(page: Page, ring: Locator, by_px: float) -> None:
    """A finger put on the ring, moved along and lifted: the events that a touch sends."""
    ring.scroll_into_view_if_needed()
    box = ring.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    finger = page.context.new_cdp_session(page)
    for kind, along in (("touchStart", 0.0), ("touchMove", by_px / 2), ("touchMove", by_px)):
        point = {"x": x + along, "y": y}
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [point]})
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def degrees(ring: Locator) -> float:
    return float(ring.get_attribute("aria-valuenow") or "nan")


@on_both
def test_a_finger_drags_the_arm_toward_the_front_alike_on_both_sides(
    signed_in: SignedIn, live_server: Any, fitting: Fitting
) -> None:
    """The front lies to the left in the figure of the wearer's left, to the right in the other."""
    page = signed_in(Role.FITTER, units="mm")
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-sleeves")
    said = []
    for side in SIDES:
        hand = figure(page, side, "hand-pitch")
        ring = hand.get_by_role("slider", name=f"Arm from plumb, wearer's {side}")
        size = ring.locator(".grip").bounding_box()
        assert size is not None
        assert min(size["width"], size["height"]) >= 63.5
        drag(page, ring, -36 if side == "left" else 36)
        assert degrees(ring) > 4
        expect(hand.locator("[data-compared]")).to_have_text(
            re.compile(r"Arm [\d.]+° forward of the sleeve")
        )
        expect(hand.locator("[data-predicts]")).to_contain_text("cuff forward")
        said.append((degrees(ring), hand.locator("[data-predicts]").inner_text()))
        assert not Entry.objects.filter(side=side).exists()
        hand.get_by_role("button", name="Save").tap()
        expect(page.locator(f"#side-{side} .lines li").first).to_contain_text("forward of the sl")
    assert said[0] == said[1]
    kept = [entry.data["angle_deg"] for entry in Entry.objects.all()]
    assert kept == [said[0][0], said[1][0]]
    assert page.locator(".hand-small").count() == 2


def test_keys_alone_turn_arm_and_sleeve_and_keep_the_reading(
    signed_in: SignedIn, live_server: Any, fitting: Fitting
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-sleeves")
    hand = page.locator("#left-hand-pitch")
    hand.locator("summary").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    arm = hand.get_by_role("slider", name="Arm from plumb, wearer's left")
    expect(arm).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(arm).to_have_attribute("aria-valuetext", "0.5° forward of plumb")
    page.keyboard.press("ArrowRight")  # away from the front, which lies to the left here
    expect(arm).to_have_attribute("aria-valuetext", "plumb")
    page.keyboard.press("PageUp")
    page.keyboard.press("Tab")
    sleeve = hand.get_by_role("slider", name="Sleeve from plumb, wearer's left")
    expect(sleeve).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(sleeve).to_have_attribute("aria-valuetext", "0.5° behind plumb")
    expect(hand.locator("[data-compared]")).to_have_text("Arm 5.5° forward of the sleeve")
    hand.get_by_role("button", name="Save").focus()
    page.keyboard.press("Enter")
    line = page.locator("#side-left .lines li").first
    expect(line).to_contain_text("the arm hangs 5.5° forward of the sleeve")
    assert Entry.objects.get().data["angle_deg"] == 5.5


@on_both
def test_steps_folds_and_elbow_by_tapping_with_targets_large_enough(
    signed_in: SignedIn, live_server: Any, fitting: Fitting
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-sleeves")
    hand = figure(page, "right", "hand-pitch")
    for _ in range(6):
        hand.get_by_role("button", name="Arm 10 mm forward at the cuff").tap()
    expect(hand.locator("[data-number]")).to_have_text("5.7°")
    expect(hand.locator("[data-cuff]")).to_have_text("60 mm at the cuff, as measured")
    axe(page)
    assert too_small(page, 64) == []
    hand.get_by_role("button", name="Save").tap()
    # 60 mm at 600 mm on an armhole of 480 mm is 7.6 mm of pitch, by scale drawing.
    expect(page.locator("#work-right")).to_contain_text("cuff forward, 7.6 mm")

    elbow = figure(page, "right", "hand-elbow")
    elbow.get_by_role("button", name="Arm's elbow: 1° outward").tap()
    expect(elbow.locator("[data-compared]")).to_have_text(
        "Arm's elbow 1° further out than the sleeve's"
    )
    folds = figure(page, "right", "hand-fold")
    folds.get_by_role("radio", name="From behind").tap()
    expect(folds.get_by_role("radio", name="In front, below the pitch")).to_be_hidden()
    folds.get_by_role("radio", name="Behind, below the pitch").tap()
    expect(folds.locator(".view.behind .fold.back_pitch")).to_be_visible()
    shown = folds.locator("[data-predicts]")
    expect(shown).to_contain_text("If it is slack:")
    folds.get_by_text("Say first how deep").tap()
    number = folds.get_by_role("button", name="15 mm deep").bounding_box()
    assert number is not None
    assert min(number["width"], number["height"]) >= 95.5
    assert too_small(page, 64) == []
    axe(page)
    folds.get_by_role("button", name="15 mm deep").tap()
    # Slack behind after an arm forward of its sleeve: said before it is kept.
    expect(shown).to_contain_text("15 mm of slack pins out at the back. Which one is right?")
    folds.get_by_role("button", name="slack, pins out").tap()
    expect(page.locator("#side-right .lines")).to_contain_text("Slack at the back: 15 mm pins out")


def test_without_connection_number_and_word_stand_and_the_proposal_is_awaited(
    signed_in: SignedIn, live_server: Any, fitting: Fitting, watch: Watch
) -> None:
    watch.expected += ["ERR_INTERNET_DISCONNECTED", "htmx:"]
    page = signed_in(Role.FITTER, units="mm")
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-sleeves")
    hand = figure(page, "left", "hand-pitch")
    page.context.set_offline(True)
    hand.get_by_role("button", name="Arm from plumb: 1° forward").tap()
    expect(hand.locator("[data-compared]")).to_have_text("Arm 1° forward of the sleeve")
    expect(hand.locator("[data-predicts]")).to_contain_text("will come with the connection")
    hand.get_by_role("button", name="Arm 10 mm forward at the cuff").tap()
    hand.get_by_role("button", name="Save").tap()
    expect(page.locator(".waits-here")).to_contain_text("Arm 1.9° forward of the sleeve")
    # Ready for the next reading: nothing of the one that waits is left in it.
    expect(hand.locator("[data-cuff]")).to_have_text("0 mm at the cuff, judged on the figure")
    ring = hand.get_by_role("slider", name="Arm from plumb, wearer's left")
    expect(ring).to_have_attribute("aria-valuetext", "plumb")
    assert not Entry.objects.exists()
    page.context.set_offline(False)
    line = page.locator("#side-left .lines li").first
    expect(line).to_contain_text("Cuff: the arm stands 20 mm forward", timeout=20_000)
    assert Entry.objects.get().data["cuff_offset_mm"] == 20


def test_arms_at_rest_are_turned_on_the_figure_of_the_customers_page(
    signed_in: SignedIn, live_server: Any
) -> None:
    arm = ArmCarriageFactory(side="left", forward_hang_deg=6, inward_turn_deg=None)
    page = signed_in(Role.FITTER)
    page.goto(f"{live_server.url}/customers/{arm.customer_id}/arms/")
    axe(page)
    assert too_small(page, 64) == []
    ring = page.get_by_role("slider", name="The hand hangs, wearer's left")
    expect(ring).to_have_attribute("aria-valuetext", "6° forward of the hip")
    drag(page, ring, 70)
    expect(ring).to_have_attribute("aria-valuetext", re.compile("behind the hip"))
    left = page.get_by_role("region", name="wearer's left")
    left.get_by_role("button", name="The elbow points: 1° outward").tap()
    elbow = left.get_by_role("slider", name="The elbow, bent, wearer's left")
    expect(elbow).to_have_attribute("aria-valuetext", "not seen yet")
    # Seen from the wearer's left the back is to the right of the paper.
    drag(page, elbow, 20)
    assert degrees(elbow) > 20
    left.get_by_role("button", name="Elbow 5° more").tap()
    bend = float(left.get_by_label("Elbow bent at rest").input_value())
    assert bend == degrees(elbow)
    elbow.focus()
    page.keyboard.press("ArrowLeft")
    bend -= 0.5
    expect(elbow).to_have_attribute("aria-valuetext", f"{bend:g}° bent")
    page.get_by_role("button", name="Save both arms").tap()
    expect(page.get_by_text("Saved: how the arms hang")).to_be_visible()
    newest = arm.customer.arm_carriages.get(side="left", observed_on__gt=arm.observed_on)
    assert newest.forward_hang_deg < 0
    assert newest.inward_turn_deg == 1
    assert newest.elbow_bend_deg == bend


@pytest.mark.parametrize("side", SIDES)
def test_an_elbow_is_turned_outward_where_it_is_seen_from_behind(
    signed_in: SignedIn, live_server: Any, fitting: Fitting, side: str
) -> None:
    """From behind the wearer's right is on the right: outward is away from the body's middle."""
    customer = fitting.order.customer
    ArmCarriageFactory(customer=customer, side=side, inward_turn_deg=10)
    page = signed_in(Role.FITTER)
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-sleeves")
    hand = figure(page, side, "hand-elbow")
    outward = 1 if side == "right" else -1
    ring = hand.get_by_role("slider", name=f"Arm's elbow, from behind, wearer's {side}")
    assert degrees(ring) == 10
    stood = ring.bounding_box()
    drag(page, ring, 20 * outward)
    moved = ring.bounding_box()
    assert stood
    assert moved
    # The ring follows the finger: it is the end of a stick 80 long in a picture 360 wide.
    assert (moved["x"] - stood["x"]) * outward == pytest.approx(20, abs=1.5)
    above = hand.get_by_role("slider", name=f"Arm's elbow, from above, wearer's {side}")
    assert degrees(above) == degrees(ring) > 20
    sleeve = hand.get_by_role("slider", name=f"Sleeve's elbow, from behind, wearer's {side}")
    sleeve.focus()
    page.keyboard.press("ArrowRight")
    assert degrees(sleeve) == 10 + 0.5 * outward
    axe(page)
    hand.get_by_role("button", name="Save").tap()
    expect(page.locator(f"#read-{side}")).to_contain_text("further out than the sleeve's")
    kept = Entry.objects.get().data
    assert kept["turn_deg"] == pytest.approx(kept["detail"]["arm_deg"] - 10 - 0.5 * outward)
