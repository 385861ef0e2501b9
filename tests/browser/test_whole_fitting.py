"""A complete baste fitting by touch alone, counted: taps, keystrokes, targets too small."""

import io
import json
import re
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from fittings.models import Entry, Photograph, PhotographMark, Ticket
from patterns.models import PatternVersion
from tailorshop.models import Role
from tests.browser.conftest import PASSWORD, axe, too_small
from tests.factories import OrderFactory, PatternVersionFactory, UserFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST_TAPS = 40
# One tap of a practised hand that has found its target: assumed, not measured.
SECONDS_A_TAP = 1.2
MOST_SECONDS = 90

# Counted by the browser itself, over all the pages of the job.
COUNTING = """
for (const kind of ["keydown", "pointerdown"])
  addEventListener(kind, () => {
    sessionStorage[kind] = Number(sessionStorage[kind] || 0) + 1;
  }, true);
"""


def picture() -> bytes:
    kept = io.BytesIO()
    Image.new("RGB", (640, 480), (120, 130, 140)).save(kept, "JPEG")
    return kept.getvalue()


class Hand:
    """A finger on the screen: counts, and measures whatever it touches."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.small: list[str] = []

    def tap(self, target: Locator) -> None:
        target.scroll_into_view_if_needed()
        within = self.page.locator("main.fitting").count()
        box = target.evaluate(
            "e => { const r = (e.matches('[type=radio], [type=file]') ? e.closest('label') : e)"
            ".getBoundingClientRect(); return [r.width, r.height]; }"
        )
        if min(box) < (64 if within else 48) - 0.5:
            self.small.append(f"{box} {target}")
        target.tap()

    def check_all(self) -> None:
        """Every target of the page as it stands, and the accessibility rules."""
        self.small += too_small(self.page, 64)
        axe(self.page)

    def counted(self, kind: str) -> int:
        return int(self.page.evaluate(f"Number(sessionStorage.{kind} || 0)"))


@pytest.fixture
def hand(request: Any, live_server: Any, browser: Browser) -> Any:
    width, height = request.param
    context = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=True, is_mobile=width < 500
    )
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda fault: complaints.append(str(fault)))
    page.on("console", lambda m: complaints.append(m.text) if m.type == "error" else None)
    fitter = UserFactory(role=Role.FITTER, units="cm")
    fitter.set_password(PASSWORD)
    fitter.save()
    page.goto(f"{live_server.url}/sign-in/")
    page.get_by_label("Username").fill(fitter.username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"{live_server.url}/")
    page.evaluate("sessionStorage.clear()")
    context.add_init_script(COUNTING)
    yield Hand(page)
    assert complaints == []
    context.close()


def settled(hand: Hand, following: str) -> None:
    hand.tap(hand.page.get_by_role("button", name="Settled", exact=True))
    expect(hand.page.get_by_role("heading", name=following)).to_be_focused()


def log(hand: Hand, finding: str, key: str) -> None:
    row = hand.page.get_by_role("form", name=finding)
    hand.tap(row.get_by_role("button", name=key))


def accept(hand: Hand, what: str, within: Any = None) -> None:
    hand.tap((within or hand.page).get_by_role("button", name=what))
    expect(hand.page.get_by_text("Accepted").last).to_be_visible()


def body(hand: Hand) -> None:
    page = hand.page
    log(hand, "Fronts swing apart", "Seen: log it")
    accept(hand, "Accept 0.8 cm")
    hand.check_all()
    settled(hand, "Shoulders")
    log(hand, "Shoulder dropped", "Wearer's right")
    hand.tap(page.get_by_role("button", name="Follow it: lower the coat", exact=True))
    accept(hand, "Accept 0.8 cm")
    settled(hand, "Collar and neck")
    settled(hand, "Chest, back, armhole")
    log(hand, "Tight across the back", "Seen: log it")
    accept(hand, "Accept 0.6 cm")
    settled(hand, "Waist, sides, hips, vents")
    settled(hand, "Fronts and length")
    settled(hand, "Sleeves")


def reading(side: Locator, name: str) -> Locator:
    kinds = side.get_by_role("group", name="Log what is read").locator("details")
    return kinds.filter(has=side.page.locator("summary", has_text=name))


def cuff(hand: Hand, side: Locator, amount: str) -> None:
    form = reading(side, "Pitch, by the cuff")
    hand.tap(form.locator("summary"))
    hand.tap(form.get_by_role("radio", name="Arm forward of the sleeve"))
    hand.tap(form.get_by_role("button", name=f"{amount} cm", exact=True))
    hand.tap(form.get_by_role("button", name="Save"))
    expect(side.get_by_role("article", name="cuff forward")).to_be_visible()


def sleeves(hand: Hand, *, phone: bool) -> None:
    page = hand.page
    left = page.get_by_role("region", name="Wearer's left")
    right = page.get_by_role("region", name="Wearer's right")
    cuff(hand, left, "6")
    form = reading(left, "Length")
    hand.tap(form.locator("summary"))
    hand.tap(form.get_by_role("radio", name="Shorter"))
    hand.tap(form.get_by_role("button", name="0.5 cm more", exact=True))
    hand.tap(form.get_by_role("button", name="Save"))
    hand.tap(left.get_by_role("button", name="Accept all 2, wearer's left"))
    expect(left.get_by_text("Accepted")).to_have_count(2)
    if phone:
        hand.tap(page.get_by_role("navigation", name="Sides").get_by_text("Wearer's right"))
    cuff(hand, right, "4")
    accept(hand, "Accept 0.5 cm", right)
    hand.check_all()
    settled(hand, "Photographs")


def photographs(hand: Hand) -> None:
    page = hand.page
    for count in (1, 2, 3):
        with page.expect_file_chooser() as chosen:
            hand.tap(page.locator("label.camera").first)
        chosen.value.set_files(
            [{"name": f"{count}.jpg", "mimeType": "image/jpeg", "buffer": picture()}]
        )
        kept = page.get_by_role("list", name="Photographs of this fitting")
        expect(kept.get_by_role("listitem")).to_have_count(count)
    hand.check_all()
    hand.tap(page.get_by_role("link", name="Go on: sign and ticket"))


@pytest.mark.parametrize("hand", [(1024, 768), (390, 844)], indirect=True, ids=["tablet", "phone"])
def test_whole_baste_fitting_takes_forty_taps_and_no_keyboard(
    hand: Hand, live_server: Any, settings: Any, tmp_path: Any
) -> None:
    settings.MEDIA_ROOT = tmp_path
    order = OrderFactory(
        customer__fitting_photo_consent_on="2026-01-05", pattern_version=PatternVersionFactory()
    )
    page = hand.page
    page.goto(f"{live_server.url}/orders/{order.pk}/")
    hand.tap(page.get_by_role("link", name="New fitting"))
    hand.tap(page.get_by_role("radio", name="Shirt", exact=True))
    hand.tap(page.get_by_role("button", name="Open the fitting"))
    phone = page.viewport_size is not None and page.viewport_size["width"] < 500
    body(hand)
    sleeves(hand, phone=phone)
    photographs(hand)
    hand.tap(page.get_by_role("button", name="Sign the fitting"))
    expect(page.get_by_text("Signed. From now on")).to_be_visible()
    hand.tap(page.get_by_role("button", name="Issue the ticket"))
    expect(page.get_by_role("link", name="Open the ticket")).to_be_visible()
    hand.check_all()
    taps, keys = hand.counted("pointerdown"), hand.counted("keydown")
    seconds = taps * SECONDS_A_TAP
    told = {"taps": taps, "keystrokes": keys, "touch seconds": seconds, "small": hand.small}
    print(json.dumps(told))
    assert hand.small == []
    assert (taps <= MOST_TAPS, keys, seconds <= MOST_SECONDS) == (True, 0, True), told
    lines = Ticket.objects.get().content["lines"]
    assert [(line["side"], line["operation"]) for line in lines] == [
        ("", "garment"),
        ("", "garment"),
        ("left", "pitch"),
        ("left", "length"),
        ("right", "garment"),
        ("right", "pitch"),
    ]
    assert Photograph.objects.count() == 3
    assert PatternVersion.objects.count() == 2
    assert Entry.objects.filter(kind="check", data__state="settled").count() == 7


def test_whole_job_is_done_with_the_keyboard_alone(
    hand_on_keys: Any, live_server: Any, settings: Any, tmp_path: Any
) -> None:
    """Log, accept, undo, settle, photograph, mark, sign and issue: Tab and Enter, no pointer."""
    page, order = hand_on_keys
    settings.MEDIA_ROOT = tmp_path
    page.goto(f"{live_server.url}/orders/{order.pk}/")
    press(page, page.get_by_role("link", name="New fitting"))
    press(page, page.get_by_role("button", name="Open the fitting"))
    row = page.get_by_role("form", name="Fronts swing apart")
    press(page, row.get_by_role("button", name="Seen: log it"))
    press(page, page.get_by_role("button", name="Accept 0.8 cm"))
    expect(page.get_by_text("Accepted").last).to_be_visible()
    press(page, page.get_by_role("button", name="Undo", exact=True))
    press(page, page.get_by_role("button", name="Accept 0.8 cm"))
    expect(page.get_by_text("Accepted").last).to_be_visible()
    press(page, page.get_by_role("button", name="Settled", exact=True))
    expect(page.get_by_role("heading", name="Shoulders")).to_be_focused()
    order_of_checks = page.get_by_role("navigation", name="Order of checks")
    press(page, order_of_checks.get_by_role("link", name="Fronts and length"))
    expect(page.get_by_role("heading", name="Fronts and length")).to_be_focused()
    press(page, page.get_by_role("button", name="All settled up to here"))
    expect(page.get_by_role("heading", name="Sleeves")).to_be_focused()
    press(page, order_of_checks.get_by_role("link", name="Photographs"))
    photograph_and_mark(page)
    order_of_checks = page.get_by_role("navigation", name="Order of checks")
    press(page, order_of_checks.get_by_role("link", name="Sign and ticket"))
    press(page, page.get_by_role("button", name="Sign the fitting"))
    press(page, page.get_by_role("button", name="Issue the ticket"))
    expect(page.get_by_role("link", name="Open the ticket")).to_be_visible()
    assert [line["side"] for line in Ticket.objects.get().content["lines"]] == [""]
    assert int(page.evaluate("Number(sessionStorage.pointerdown || 0)")) == 0


def photograph_and_mark(page: Page) -> None:
    """A consent asked, a photograph chosen, a pin put on it, moved, taken back and undone again."""
    press(page, page.get_by_role("button", name="Asked: agrees to photographs to fit by"))
    with page.expect_file_chooser() as chosen:
        press(page, page.get_by_label("Choose photographs"))
    chosen.value.set_files([{"name": "1.jpg", "mimeType": "image/jpeg", "buffer": picture()}])
    press(page, page.get_by_role("link", name=re.compile("^Mark: ")))
    press(page, page.get_by_role("button", name="Chalk line"))
    middle = page.get_by_role("button", name="Set in the middle")
    press(page, middle)
    press(page, page.get_by_role("button", name="A little to the picture's left"))
    press(page, middle)
    expect(page.locator("#told")).to_have_text("Put: Chalk line 1.")
    press(page, page.get_by_role("button", name="Take back: Chalk line 1"))
    press(page, page.get_by_text("Taken back (1)"))
    press(page, page.get_by_role("button", name="Put back: Chalk line 1"))
    expect(page.locator("#told")).to_have_text("Put back: Chalk line 1.")
    start, end = PhotographMark.objects.get(removed_at=None).points
    assert start[0] < end[0]
    press(page, page.get_by_role("link", name="Back to the fitting"))


def press(page: Page, target: Locator) -> None:
    """Reach it with Tab from where the focus is, then press Enter."""
    expect(target).to_be_visible()
    for _ in range(120):
        if target.evaluate("e => e === document.activeElement"):
            page.keyboard.press("Enter")
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"not reached by Tab: {target}")


@pytest.fixture
def hand_on_keys(signed_in: Any) -> tuple[Page, Any]:
    page = signed_in(Role.FITTER, units="cm")
    page.evaluate("sessionStorage.clear()")
    page.context.add_init_script(COUNTING)
    return page, OrderFactory(pattern_version=PatternVersionFactory())
