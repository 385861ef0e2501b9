"""A real Chromium against a live server; whatever it complains of fails the test."""

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import ConsoleMessage, Error, Page, expect

from tailorshop.models import Role
from tests.factories import UserFactory

# Playwright's own loop runs in this thread; the database is only touched from the test itself.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

PASSWORD = "chalk and thread"
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@pytest.fixture(scope="session")
def base_url() -> None:
    """Every address is written in full; the plugin's own fixture warns with this pytest."""


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    chromium = os.environ.get("TAILORSHOP_CHROMIUM", "/usr/bin/chromium")
    return {**browser_type_launch_args, "executable_path": chromium, "args": QUIET}


class Watch:
    """What the browser complained of: script errors, refused resources, the content policy."""

    def __init__(self) -> None:
        self.complaints: list[str] = []
        # Words of complaints that a test provokes on purpose.
        self.expected: list[str] = []

    def console(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.complaints.append(message.text)

    def unexpected(self) -> list[str]:
        return [c for c in self.complaints if not any(words in c for words in self.expected)]


@pytest.fixture(autouse=True)
def watch(page: Page) -> Iterator[Watch]:
    watching = Watch()
    page.on("console", watching.console)
    page.on("pageerror", lambda fault: watching.complaints.append(str(fault)))
    page.add_init_script(
        "document.addEventListener('securitypolicyviolation',"
        " e => console.error('content policy: ' + e.violatedDirective))"
    )
    yield watching
    assert watching.unexpected() == []


# A busy machine answers late; what never comes still fails.
expect.set_options(timeout=20_000)

SignedIn = Callable[..., Page]


@pytest.fixture
def signed_in(live_server: Any, page: Page) -> SignedIn:
    """`signed_in(Role.FITTER)`: sign in through the form; the page stands at today."""

    def sign_in(role: Role, **facts: Any) -> Page:
        user = UserFactory(role=role, **facts)
        user.set_password(PASSWORD)
        user.save()
        page.goto(f"{live_server.url}/sign-in/")
        page.get_by_label("Username").fill(user.username)
        page.get_by_label("Password").fill(PASSWORD)
        page.keyboard.press("Enter")
        page.wait_for_url(f"{live_server.url}/")
        return page

    return sign_in


def open_person(page: Page) -> Page:
    """What drops down from the name in the bar: own settings, another fitter, signing out."""
    if not page.locator("details.person[open]").count():
        page.locator("details.person > summary").click()
    return page


def axe(page: Page) -> None:
    """No violation of the accessibility rules on the page as it stands, target size too."""
    page.wait_for_load_state()
    try:
        found = Axe().run(page, options={"runOnly": AXE_TAGS})
    except Error:  # the page was left for another in the midst of it: the one arrived at is meant
        page.wait_for_load_state()
        found = Axe().run(page, options={"runOnly": AXE_TAGS})
    assert found.violations_count == 0, found.generate_report()


SMALL = """least => [...document.querySelectorAll(
    'main button, main summary, main input:not([type=hidden]), main a.button')]
  .map(e => e.matches('[type=radio], [type=checkbox]') ? e.closest('label') || e : e)
  .filter(e => e.checkVisibility() && e.getBoundingClientRect().height > 0)
  .filter(e => e.getBoundingClientRect().height < least - 0.5)
  .map(e => e.outerHTML.slice(0, 120))"""


def too_small(page: Page, least: int) -> list[str]:
    """What is to be touched and lower than `least` CSS px."""
    found: list[str] = page.evaluate(SMALL, least)
    return found
