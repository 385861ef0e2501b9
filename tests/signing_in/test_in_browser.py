"""An app's code and a passkey in a real browser, and the fitter changed by touch."""

import base64
import hashlib
import hmac
import struct
import time
from typing import Any

import pytest
from django.contrib.auth.hashers import make_password
from playwright.sync_api import Page, expect

from tailorshop.models import Role
from tests.browser.conftest import PASSWORD, Watch, axe, open_person, signed_in, too_small, watch
from tests.factories import UserFactory

__all__ = ["signed_in", "watch"]
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(scope="session")
def base_url() -> None:
    """Every address is written in full; the plugin's own fixture warns with this pytest."""


def totp(secret: str, at: float) -> str:
    """RFC 6238 with the truncation of RFC 4226, section 5.3, written here anew."""
    mac = hmac.digest(base64.b32decode(secret), struct.pack(">Q", int(at) // 30), hashlib.sha1)
    number = struct.unpack(">I", mac[mac[-1] & 15 :][:4])[0] & 0x7FFFFFFF
    return f"{number % 10**6:06d}"


def test_the_codes_of_this_test_are_those_of_the_standard() -> None:
    # RFC 6238, appendix B, SHA-1, the last six of eight digits
    assert totp(base64.b32encode(b"12345678901234567890").decode(), 1111111109) == "081804"


def sign_in(page: Page, live_server: Any, username: str) -> None:
    page.goto(f"{live_server.url}/sign-in/")
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()


def open_second_factor(page: Page, live_server: Any) -> None:
    page.goto(f"{live_server.url}/own/second-factor/")
    axe(page)


def confirm(page: Page) -> None:
    axe(page)
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()


def test_an_app_is_added_and_asked_for_at_the_next_sign_in(
    signed_in: Any, live_server: Any
) -> None:
    page = signed_in(Role.OWNER, username="maud")
    open_second_factor(page, live_server)
    page.get_by_role("link", name="Add an app").click()
    confirm(page)
    axe(page)
    secret = page.locator("code").inner_text()
    page.get_by_label("Code").fill(totp(secret, time.time() - 30))
    page.get_by_role("button", name="It works: use it").click()
    expect(page.get_by_role("heading", name="Recovery codes")).to_be_visible()
    assert page.get_by_role("list", name="Codes not used yet").locator("li").count() == 10
    axe(page)
    open_person(page).get_by_role("button", name="Sign out").click()
    sign_in(page, live_server, "maud")
    expect(page.get_by_role("heading", name="Second factor")).to_be_visible()
    axe(page)
    page.get_by_label("Code").fill(totp(secret, time.time()))
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"{live_server.url}/")


def test_a_passkey_is_added_and_signs_in_alone(
    signed_in: Any, live_server: Any, settings: Any, watch: Watch
) -> None:
    settings.MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = True
    page = signed_in(Role.OWNER, username="maud")
    device = page.context.new_cdp_session(page)
    device.send("WebAuthn.enable")
    device.send(
        "WebAuthn.addVirtualAuthenticator",
        {
            "options": {
                "protocol": "ctap2",
                "transport": "internal",
                "hasResidentKey": True,
                "hasUserVerification": True,
                "isUserVerified": True,
                "automaticPresenceSimulation": True,
            }
        },
    )
    open_second_factor(page, live_server)
    page.get_by_role("link", name="Add a passkey").click()
    confirm(page)
    axe(page)
    page.get_by_label("Name of this device or key").fill("Tablet of the shop")
    page.get_by_label("Sign in with it alone").check()
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("heading", name="Recovery codes")).to_be_visible()
    open_person(page).get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Sign in with a passkey").click()
    page.wait_for_url(f"{live_server.url}/")
    page.goto(f"{live_server.url}/own/second-factor/passkeys/")
    expect(page.get_by_text("Tablet of the shop", exact=True).first).to_be_visible()
    axe(page)


def test_the_fitter_is_changed_by_touch_and_shown(signed_in: Any, live_server: Any) -> None:
    UserFactory(first_name="Odo", last_name="Sample", quick_code=make_password("2749"))
    page = signed_in(Role.FITTER, first_name="Ida", last_name="Sample")
    open_person(page).get_by_role("link", name="Change fitter").click()
    axe(page)
    assert too_small(page, 64) == []
    page.get_by_label("Odo Sample").check()
    page.get_by_label("Your code").fill("2749")
    page.get_by_role("button", name="This is me").click()
    page.wait_for_url(f"{live_server.url}/")
    expect(page.locator("header")).to_contain_text("Odo Sample on Ida Sample’s sign-in")
    axe(page)
