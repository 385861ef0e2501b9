"""A day in the workroom: the code is scanned, work ticked, a question asked, answered, printed."""

from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from fittings.models import InlayUse, Ticket
from fittings.ticketing.issuing import reissue
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, axe, open_person, too_small
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHONE, TABLET = {"width": 390, "height": 844}, {"width": 1024, "height": 768}
LONGER = [("right", {"what": "length", "amount_mm": 8})]
CUFF = [("right", "cuff", 40)]


def sound(page: Page) -> None:
    """Nobody is shut out, everything can be touched, and nothing runs off the screen."""
    axe(page)
    assert too_small(page, 48) == [], page.url
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), page.url


def sign_out(page: Page) -> None:
    open_person(page).get_by_role("button", name="Sign out").click()


def test_scanned_ticked_asked_answered(signed_in: SignedIn, live_server: Any) -> None:
    ticket = issued([*LEFT_FORWARD, *LONGER], inlays=CUFF)
    page = signed_in(Role.WORKROOM, first_name="Piet", last_name="Maas", units="mm")
    page.set_viewport_size(PHONE)
    _work(page, f"{live_server}/t/{ticket.number}/1/")
    sign_out(page)
    page = signed_in(Role.FITTER, first_name="Nora", last_name="Becker")
    _answer(page, ticket)
    sign_out(page)
    page = signed_in(Role.WORKROOM, first_name="Ada", last_name="Kok")
    page.goto(f"{live_server}{ticket.get_absolute_url()}")
    expect(page.get_by_text("Leave the vent as it is.")).to_be_visible()
    page.get_by_role("button", name="I have checked line 2").click()
    expect(page.get_by_text("checked by Ada Kok")).to_be_visible()
    assert InlayUse.objects.get().used_mm == 9


def _work(page: Page, scanned: str) -> None:
    """Two taps from the paper to the tick: the line, and that it is done."""
    page.goto(scanned)
    sound(page)
    page.get_by_role("link", name="2 wearer's right: to do").click()
    page.get_by_label("Inlay used at the cuff, in mm").fill("9")
    page.get_by_role("button", name="Line 2 is done").click()
    expect(page.get_by_text("where 8 mm was planned")).to_be_visible()
    page.get_by_role("button", name="45 min").click()
    expect(page.get_by_text("It took 45 minutes.")).to_be_visible()
    page.get_by_text("Ask the fitter about line 2").click()
    page.get_by_label("What do you need to know?").locator("visible=true").fill("And the vent?")
    page.get_by_role("button", name="Ask", exact=True).locator("visible=true").click()
    expect(page.get_by_text("not answered yet")).to_be_visible()
    sound(page)


def _answer(page: Page, ticket: Ticket) -> None:
    expect(page.get_by_role("heading", name="Asked from the bench")).to_be_visible()
    page.get_by_role("link", name=f"{ticket}, line 2").click()
    page.get_by_label("Your answer").fill("Leave the vent as it is.")
    sound(page)
    page.get_by_role("button", name="Answer", exact=True).click()
    expect(page.get_by_text("Nora Becker answers")).to_be_visible()


def test_all_on_the_bench_are_laid_out_by_themselves_and_open_as_one_file(
    signed_in: SignedIn, live_server: Any
) -> None:
    for readings in (LEFT_FORWARD, RIGHT_BACK, [*LEFT_FORWARD, *LONGER]):
        issued(readings)
    page = signed_in(Role.WORKROOM)
    page.set_viewport_size(TABLET)
    page.goto(f"{live_server}{reverse('bench')}")
    sound(page)
    page.get_by_label("A5", exact=True).check()
    page.get_by_role("button", name="Print all on this page").click()
    expect(page.get_by_role("heading", name="All 3 are laid out")).to_be_visible(timeout=30_000)
    sound(page)
    address = page.get_by_role("link", name="Open the file (PDF), 3 tickets").get_attribute("href")
    answer = page.request.get(f"{live_server}{address}")
    assert answer.body().startswith(b"%PDF")


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_every_page_of_the_bench_is_accessible_and_touchable(
    signed_in: SignedIn, live_server: Any, size: dict[str, int]
) -> None:
    ticket = issued(LEFT_FORWARD)
    reissue(ticket, by=ticket.issued_by, at=ticket.issued_at, reason="smudged")
    page = signed_in(Role.OWNER)
    page.set_viewport_size(size)
    names = ("bench", "times", "maker-list", "maker-new", "question-list")
    for at in (*map(reverse, names), f"/t/{ticket.number}/1/"):
        page.goto(f"{live_server}{at}")
        sound(page)
