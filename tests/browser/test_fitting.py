"""The whole job of a fitting, done in a browser by tapping."""

import re
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from fittings.models import Order, Ticket
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, Watch, axe, too_small
from tests.factories import OrderFactory, PatternVersionFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def new_order() -> Order:
    return OrderFactory(
        customer__given_name="Tomas",
        customer__family_name="Sample",
        pattern_version=PatternVersionFactory(),
    )


def open_fitting(page: Page, order: Order, base: str) -> tuple[Locator, Locator]:
    page.goto(f"{base}/orders/{order.pk}/")
    page.get_by_role("link", name="New fitting").click()
    page.get_by_role("radio", name="Shirt", exact=True).check()
    page.get_by_role("button", name="Open the fitting").click()
    expect(page.get_by_role("heading", name="Tomas Sample")).to_be_visible()
    show(page, "Sleeves")
    return (
        page.get_by_role("region", name="Wearer's left"),
        page.get_by_role("region", name="Wearer's right"),
    )


def show(page: Page, part: str) -> None:
    """Tap a part in the order of checks; on a phone its menu is opened first."""
    page.wait_for_load_state()
    if page.viewport_size and page.viewport_size["width"] <= 768:
        page.locator(".round-now").click()
    page.get_by_role("navigation", name="Order of checks").get_by_role("link", name=part).click()


def settle(page: Page) -> None:
    """A check that is settled leads on to the next one that is not."""
    show(page, "Balance")
    for following in ("Shoulders", "Collar"):
        page.get_by_role("button", name="Settled", exact=True).click()
        expect(page.get_by_role("heading", name=following)).to_be_focused()
    show(page, "Sleeves")


def kind(side: Locator, name: str) -> Locator:
    """Open one kind of reading; its small form."""
    opened = (
        side.get_by_role("group", name="Log what is read")
        .locator("details")
        .filter(has=side.page.locator("summary", has_text=name))
    )
    opened.locator("summary").click()
    return opened


def test_fitter_does_the_whole_fitting_by_tapping(signed_in: SignedIn, live_server: Any) -> None:
    order = new_order()
    page = signed_in(Role.FITTER, units="mm")
    left, right = open_fitting(page, order, live_server.url)
    axe(page)
    settle(page)

    form = kind(left, "Pitch, by the cuff")
    form.get_by_role("radio", name="Arm forward of the sleeve").check()
    for _ in range(6):
        form.get_by_role("button", name="10 mm more", exact=True).click()
    expect(form.get_by_label("How far, mm")).to_have_value("60")
    form.get_by_role("button", name="Save, wearer's left").click()
    pitch = left.get_by_role("article", name=re.compile("cuff forward, 7.6 mm"))
    expect(pitch).to_be_visible()
    expect(page.locator("#said").filter(has_text="Saved")).to_contain_text("60 mm forward")
    expect(left.get_by_role("list", name="Read on").get_by_role("listitem")).to_be_focused()

    kind(left, "Arm-swing test").get_by_role("button", name="when the arm goes back").click()
    expect(left.get_by_text("the folds clear when the arm goes back").first).to_be_visible()
    axe(page)
    pitch.get_by_role("button", name="Accept 7.6 mm").click()
    expect(pitch.get_by_text("Accepted")).to_be_visible()
    expect(pitch).to_be_focused()

    form = kind(left, "Elbow direction")
    form.get_by_role("radio", name="further out").check()
    form.get_by_label("By how much, °").fill("12")
    form.get_by_role("button", name="Save, wearer's left").click()
    elbow = left.get_by_role("article", name=re.compile("Turn the elbow 12° further out"))
    elbow.locator("summary", has_text="Amend").click()
    elbow.get_by_role("button", name="5 mm less", exact=True).click()
    elbow.get_by_role("radio", name="Half of it first").check()
    axe(page)
    elbow.get_by_role("button", name="Amend it, wearer's left").click()
    amended = left.get_by_role("article", name=re.compile("hindarm seam 6 mm up and out"))
    expect(amended).to_contain_text("Amended, proposed was 11 mm: Half of it first")

    kind(right, "Crease").get_by_role("button", name="cannot tell").nth(1).click()
    expect(right.get_by_text("slack or strain?")).to_be_visible()
    axe(page)

    show(page, "Sign and ticket")
    page.get_by_role("button", name="Sign the fitting").click()
    expect(page.get_by_text("Signed. From now on")).to_be_visible()
    page.get_by_role("button", name="Issue the ticket").click()
    expect(page.get_by_role("link", name="Open the ticket")).to_be_visible()
    axe(page)
    ticket = Ticket.objects.get()
    assert [line["operation"] for line in ticket.content["lines"]] == ["pitch", "seam_shift"]
    assert ticket.pattern_after is not None
    with page.expect_navigation() as opened:
        page.get_by_role("link", name="Open the ticket").click()
    assert opened.value is not None
    assert opened.value.status == 200


def test_bad_amount_is_told_beside_it_with_all_that_was_entered_kept(
    signed_in: SignedIn, live_server: Any, watch: Watch
) -> None:
    watch.expected.append("422")
    page = signed_in(Role.FITTER, units="cm")
    left, _ = open_fitting(page, new_order(), live_server.url)
    form = kind(left, "Slack pinned out")
    form.get_by_role("radio", name="At the back").check()
    form.get_by_label("Depth pinned out, cm").fill("3/8")
    form.get_by_role("button", name="Save").click()
    expect(form.get_by_text("is a fraction without a unit")).to_be_visible()
    expect(form.get_by_label("Depth pinned out, cm")).to_have_value("3/8")
    expect(form.get_by_label("Depth pinned out, cm")).to_be_focused()
    expect(form.get_by_role("radio", name="At the back")).to_be_checked()
    axe(page)


def test_reading_is_taken_with_the_keyboard_alone(signed_in: SignedIn, live_server: Any) -> None:
    page = signed_in(Role.FITTER, units="mm")
    left, _ = open_fitting(page, new_order(), live_server.url)
    left.locator("summary", has_text="Elbow direction").focus()
    for key in ("Enter", "Tab", "Space", "Tab"):
        page.keyboard.press(key)
    page.keyboard.type("9")
    page.keyboard.press("Enter")
    expect(left.get_by_text("Elbow: the arm's points 9° further out")).to_be_visible()
    take_back = left.get_by_role("button", name=re.compile("^Take back"))
    page.keyboard.press("Tab")
    expect(take_back).to_be_focused()
    page.keyboard.press("Enter")
    put_back = left.get_by_role("button", name=re.compile("^Put back"))
    expect(put_back).to_be_visible()
    page.keyboard.press("Tab")
    expect(put_back).to_be_focused()


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (390, 844), (768, 1024), (320, 640)])
def test_everything_touched_at_a_fitting_is_large_and_nothing_overflows(
    signed_in: SignedIn, live_server: Any, width: int, height: int
) -> None:
    page = signed_in(Role.FITTER, units="in")
    page.set_viewport_size({"width": width, "height": height})
    left, _ = open_fitting(page, new_order(), live_server.url)
    form = kind(left, "Pitch, by the cuff")
    form.get_by_role("radio", name="Arm forward of the sleeve").check()
    form.get_by_role("button", name="1 in more", exact=True).click()
    form.get_by_role("button", name="1/4 in more", exact=True).click()
    expect(form.get_by_label("How far, in")).to_have_value("1 1/4")
    assert too_small(page, 64) == []
    form.get_by_role("button", name="Save").click()
    card = left.get_by_role("article", name=re.compile("cuff forward"))
    card.locator("summary", has_text="Amend").click()
    card.locator("summary", has_text="The work, and why").click()
    assert too_small(page, 64) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    axe(page)


def test_folds_test_takes_two_taps(signed_in: SignedIn, live_server: Any) -> None:
    """One observation in four taps or fewer; the shortest in two."""
    page = signed_in(Role.FITTER)
    _, right = open_fitting(page, new_order(), live_server.url)
    right.locator("summary", has_text="Arm-swing test").click()
    right.get_by_role("button", name="when the arm goes forward").click()
    expect(right.get_by_text("the folds clear when the arm goes forward").first).to_be_visible()
