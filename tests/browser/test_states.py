"""Every state of the fitting page and its photograph pages: the accessibility rules kept, nothing
too small to touch; in the shop's colours, and in forced colours on a dark ground.

The shop's own look is light for whoever prefers dark too, so that dark shows itself in forced
colours only. There contrast is the system's, and the rule for it is not asked: computed styles tell
the page's colours, not those that are painted. With TAILORSHOP_SHOTS=folder every state is
photographed, at 200 % too.
"""

import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Route, expect

from fittings.models import Fitting, Order, Photograph
from tailorshop.models import Role
from tests.browser.conftest import AXE_TAGS, SignedIn, Watch, too_small
from tests.browser.test_offline import DROPPED, person, sign_in
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory
from tests.photographs.pictures import file, quartered
from tests.photographs.wearer import ARM, PLUMB, SLEEVE, photograph_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SHOTS: Final = os.environ.get("TAILORSHOP_SHOTS", "")
CHECKS: Final = (
    "Balance",
    "Shoulders",
    "Collar and neck",
    "Chest, back, armhole",
    "Waist, sides, hips, vents",
    "Fronts and length",
    "Sleeves",
)
# One of each make: an amount, two taps, many answers, the shop's rows, the figure, the folds.
KINDS: Final = (
    "by the cuff",
    "Arm-swing",
    "Crease",
    "Something else",
    "Pitch, on the figure",
    "Folds, on the figure",
)


class Walk:
    """Looks at one state after another and tells all that is wrong at the end."""

    def __init__(self, page: Page) -> None:
        self.page, self.wrong, self.seen = page, [], 0

    def look(self, state: str, within: str = "") -> None:
        """`within`: only this part of the page is new; forced colours are tried on whole pages."""
        self.seen += 1
        name = f"{self.seen:02d}-{state}"
        self.try_rules(f"{state}, light", within, contrast=True)
        self.wrong += [f"{state}: under 64 px: {one}" for one in too_small(self.page, 64)]
        self.shoot(f"{name}-light")
        if within and not SHOTS:
            return
        self.page.emulate_media(forced_colors="active", color_scheme="dark")
        self.try_rules(f"{state}, forced", within, contrast=False)
        self.shoot(f"{name}-forced")
        self.page.emulate_media(forced_colors="none", color_scheme="light")
        self.shoot(f"{name}-zoomed", zoomed=True)

    def try_rules(self, state: str, within: str, *, contrast: bool) -> None:
        rules = {"color-contrast": {"enabled": contrast}}
        options = {"runOnly": AXE_TAGS, "rules": rules, "resultTypes": ["violations"]}
        if not self.page.evaluate("'axe' in window"):
            self.page.evaluate(Axe().axe_script)
        asked = [within or "html", options]
        found = self.page.evaluate("([within, options]) => axe.run(within, options)", asked)
        for rule in found["violations"]:
            places = ", ".join(node["html"] for node in rule["nodes"])
            self.wrong.append(f"{state}: {rule['id']}, {rule['help']}: {places}")

    def shoot(self, name: str, *, zoomed: bool = False) -> None:
        if not SHOTS:
            return
        size = self.page.viewport_size
        assert size
        if zoomed:
            self.page.set_viewport_size({key: half // 2 for key, half in size.items()})
        kept = Path(SHOTS) / f"{re.sub('[^a-z0-9]+', '-', name.lower())}.png"
        self.page.screenshot(path=kept, full_page=True)
        self.page.set_viewport_size(size)


@pytest.fixture
def fitting() -> Fitting:
    order: Order = OrderFactory(pattern_version=PatternVersionFactory())
    row: Fitting = FittingFactory(order=order)
    return row


@pytest.fixture
def walk(signed_in: SignedIn, live_server: Any, watch: Watch) -> Iterator[Walk]:
    watch.expected += [*DROPPED, "422", *(["inline style"] if SHOTS else [])]
    page = signed_in(Role.FITTER, units="mm")
    page.set_viewport_size({"width": 1024, "height": 768})
    page.emulate_media(reduced_motion="reduce")
    walking = Walk(page)
    yield walking
    assert not walking.wrong, "\n".join(walking.wrong)


def show(page: Page, part: str) -> None:
    order = page.get_by_role("navigation", name="Order of checks")
    order.get_by_role("link", name=part).click()


def test_every_state_of_entering_and_deciding(
    walk: Walk, live_server: Any, fitting: Fitting, browser: Any
) -> None:
    page = walk.page
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}")
    for check in CHECKS:
        show(page, check)
        walk.look(check, "#room")
    left = page.locator("#side-left")
    for kind in KINDS:
        opened = left.locator("details.kind").filter(has=page.locator("summary", has_text=kind))
        opened.locator("summary").first.click()
        walk.look(f"kind {kind}", "#side-left")
    cuff = left.locator("details.kind").filter(has=page.locator("summary", has_text="by the cuff"))
    cuff.locator("summary").click()
    cuff.get_by_role("button", name="Save").click()
    expect(cuff.locator(".errorlist").first).to_be_visible()
    walk.look("reading refused")
    cuff.get_by_role("radio", name="Arm forward of the sleeve").check()
    cuff.get_by_role("button", name="60 mm", exact=True).click()
    cuff.get_by_role("button", name="Save").click()
    card = left.get_by_role("article").first
    expect(card).to_be_visible()
    walk.look("proposed")
    for what in ("Amend", "Refuse"):
        card.locator("summary", has_text=what).click()
        walk.look(what, "#side-left")
    card.get_by_role("button", name=re.compile("^Accept")).first.click()
    expect(card.get_by_text("Accepted")).to_be_visible()
    left.get_by_role("button", name=re.compile("^Take back")).first.click()
    expect(left.get_by_text("Taken back (1)")).to_be_visible()
    walk.look("taken back, decision fallen")
    contest(walk, live_server, fitting, browser)
    waiting(walk)


def contest(walk: Walk, live_server: Any, fitting: Fitting, browser: Any) -> None:
    """Two who said otherwise of a check, unseen of each other."""
    page, context = walk.page, browser.new_context()
    other = sign_in(context.new_page(), live_server, person(first_name="Odo"))
    other.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-balance")
    page.context.set_offline(True)
    show(page, "Balance")
    check = "form.check[data-check=balance]"
    page.locator(check).get_by_role("button", name="Settled", exact=True).click()
    other.locator(check).get_by_role("button", name="Still open").click()
    expect(other.locator(check)).to_contain_text("Balance: open")
    context.close()
    page.context.set_offline(False)
    show(page, "Balance")
    expect(page.locator(check)).to_contain_text("without seeing each other")
    walk.look("conflict", "#room")


def waiting(walk: Walk) -> None:
    """What waits, what is undone, and what the record refused."""
    page = walk.page
    page.context.set_offline(True)
    page.locator("form.check[data-check=balance]").get_by_role("button", name="Still open").click()
    show(page, "Sleeves")
    length = page.locator("#side-left details.kind").filter(
        has=page.locator("summary", has_text=re.compile("^Length"))
    )
    length.locator("summary").click()
    length.get_by_role("radio", name="Longer").check()
    length.get_by_label("By how much, mm").fill("9999")
    length.get_by_role("button", name="Save").click()
    expect(page.locator(".waits-here")).to_have_count(2)
    walk.look("waiting")
    page.context.set_offline(False)
    needs = page.get_by_role("region", name="Not kept: needs you")
    expect(needs).to_contain_text("9999")
    walk.look("refused")
    needs.get_by_role("button", name="Throw it away").click()
    needs.get_by_role("button", name="Yes, throw it away").click()
    expect(needs).to_be_hidden()


def test_every_state_of_signing_and_adding(walk: Walk, live_server: Any, fitting: Fitting) -> None:
    page = walk.page
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}")
    row = page.get_by_role("form", name="Fronts swing apart")
    row.get_by_role("button", name="Seen: log it").click()
    expect(page.get_by_role("button", name=re.compile("^Accept"))).to_be_visible()
    walk.look("garment proposed", "#room")
    show(page, "Sign and ticket")
    walk.look("not to be signed yet", "#room")
    show(page, "Balance")
    page.get_by_role("button", name=re.compile("^Accept")).click()
    expect(page.get_by_text("Accepted").last).to_be_visible()
    show(page, "Sign and ticket")
    page.get_by_role("button", name="Sign the fitting").click()
    walk.look("signed")
    page.get_by_role("button", name="Issue the ticket").click()
    expect(page.get_by_role("link", name="Open the ticket")).to_be_visible()
    show(page, "Balance")
    page.get_by_role("form", name="Fronts swing apart").get_by_role("button").first.click()
    expect(page.get_by_text("added after signing").first).to_be_visible()
    walk.look("added after signing")


def test_every_state_of_photographs(walk: Walk, live_server: Any, fitting: Fitting) -> None:
    page = walk.page
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}")
    show(page, "Photographs")
    walk.look("camera off", "#room")
    page.get_by_role("button", name="Asked: agrees to photographs to fit by").click()
    expect(page.get_by_text("No photograph yet.")).to_be_visible()
    page.get_by_text(re.compile("^What .* agreed to")).click()
    walk.look("no photograph", "#room")
    held: list[Route] = []
    page.route("**/photographs/", lambda route: held.append(route), times=1)
    choose = page.get_by_label("Choose photographs")
    chosen = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": file(quartered(600, 400))}
    choose.set_input_files([chosen])
    expect(page.locator(".outbox-state")).to_have_text("Sending: 1 entry")
    walk.look("sending", "#room")
    held[0].abort()
    expect(page.get_by_text("waiting on this device: no connection")).to_be_visible()
    walk.look("sending failed")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    kept = page.get_by_role("list", name="Photographs of this fitting").get_by_role("listitem")
    expect(kept).to_have_count(1)
    choose.set_input_files([{"name": "b.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}])
    expect(page.get_by_role("button", name="Leave it out")).to_be_visible()
    kept.get_by_text("Change").click()
    walk.look("refused, change open", "#room")


def test_every_state_of_measuring_marking_and_comparing(
    walk: Walk, live_server: Any, fitting: Fitting
) -> None:
    page = walk.page
    one, other = (photograph_of(fitting, fitting.fitter, shade=shade) for shade in (60, 190))
    for picture in (one, other):
        at(page, live_server, picture, "measure")
        if picture == one:
            walk.look("measuring")
        for x, y in (ARM | SLEEVE | PLUMB).values():
            touch(page, x, y)
        if picture == one:
            walk.look("touched")
        page.get_by_role("button", name="Keep it").click()
        expect(page.locator("#messages")).to_contain_text("Kept.")
    walk.look("measured")
    at(page, live_server, one, "marks")
    walk.look("marking")
    touch(page, 30, 30)
    expect(page.locator("#told")).to_have_text("Put: Pin 1.")
    page.get_by_role("button", name="Take back: Pin 1").click()
    expect(page.get_by_text("Taken back (1)")).to_be_visible()
    page.get_by_text("Taken back (1)").click()
    page.context.set_offline(True)
    touch(page, 50, 50)
    expect(page.locator(".waits-here")).to_be_visible()
    walk.look("marks, one waiting")
    page.context.set_offline(False)
    expect(page.get_by_role("button", name="Take back: Pin 2")).to_be_visible()
    compare = f"{live_server.url}/fittings/photographs/{one.pk}/compare/"
    for name, asked in (
        ("comparing", ""),
        ("beside each other", f"?with={other.pk}"),
        ("over each other", f"?with={other.pk}&how=over"),
    ):
        page.goto(compare + asked)
        walk.look(name)


def at(page: Page, live_server: Any, picture: Photograph, name: str) -> None:
    page.goto(f"{live_server.url}/fittings/photographs/{picture.pk}/{name}/")
    expect(page.locator("#asked")).to_contain_text("Touch")
    page.wait_for_load_state("networkidle")


def touch(page: Page, x: float, y: float) -> None:
    box = page.locator("#touched").bounding_box()
    assert box
    page.mouse.click(box["x"] + x / 100 * box["width"], box["y"] + y / 100 * box["height"])
