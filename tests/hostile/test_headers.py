"""What every page tells the browser, on every page that a link leads to."""

import os
import re
import secrets
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

import pytest
from django.conf import settings as shop_settings
from django.test import Client

from tailorshop.roles import ACCESS
from tests.hostile.conftest import Shop

pytestmark = pytest.mark.django_db

# After the OWASP Secure Headers project's list of what an answer should carry, from memory.
SAID: Final = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}
# What a browser would run or draw by; data for a script stands in a script of another type.
INLINE: Final = re.compile(
    r"<script(?![^>]*\s(?:src=|type=.application/json))|<style|\sstyle=|\son[a-z]+=",
    re.IGNORECASE,
)


def test_the_walk_comes_to_most_of_the_shop(shop: Shop) -> None:
    """So that the tests below are known to look at something."""
    met = {seen.name for seen in shop.pages.values()} | {form.name for form in shop.forms}
    assert len(met & set(ACCESS)) > 0.7 * len(ACCESS), sorted(set(ACCESS) - met)


def test_every_page_says_what_a_browser_may_do_with_it(shop: Shop) -> None:
    for at, seen in shop.pages.items():
        for header, value in SAID.items():
            assert seen.headers.get(header) == value, (at, header)
        assert "camera=(self)" in seen.headers["Permissions-Policy"], at
        assert "geolocation=()" in seen.headers["Permissions-Policy"], at


def test_every_page_allows_its_own_scripts_and_styles_and_no_inline_ones(shop: Shop) -> None:
    for at, seen in shop.pages.items():
        policy = seen.headers["Content-Security-Policy"]
        if policy.startswith("default-src 'none';"):
            # A photograph or a plot by itself, no page: no script runs in it at all.
            assert not seen.text, at
            assert "sandbox" in policy, at
            assert "script-src" not in policy, at
            continue
        assert "default-src 'self'" in policy, at
        assert "unsafe" not in policy, at
        assert not re.search(r"script-src|style-src|\*|http", policy), at
        assert not INLINE.search(seen.text), (at, INLINE.search(seen.text))


def test_no_page_of_somebody_signed_in_is_kept_by_the_browser(shop: Shop) -> None:
    """A photograph alone may be, by this browser: it never changes."""
    kept = {
        seen.name: seen.headers.get("Cache-Control", "")
        for seen in shop.pages.values()
        if "no-store" not in seen.headers.get("Cache-Control", "")
    }
    assert all("private" in words for words in kept.values()), kept


def test_no_page_loads_anything_from_elsewhere(shop: Shop) -> None:
    for at, seen in shop.pages.items():
        outside = re.findall(r'(?:src|href|action|hx-\w+)="(?:https?:)?//[^"]*', seen.text)
        assert outside == [], at


def test_over_https_cookies_belong_to_this_name_alone_and_the_deploy_check_is_clean() -> None:
    """In a process of its own: the settings are read once."""
    ask = (
        "from django.conf import settings as s; from django.core.management import call_command;"
        "import django; django.setup(); call_command('check', deploy=True, fail_level='WARNING');"
        "print(s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME, s.SECURE_HSTS_SECONDS)"
    )
    surroundings = os.environ | {
        "DJANGO_SETTINGS_MODULE": "tailorshop.settings",
        "TAILORSHOP_HTTPS": "1",
        "TAILORSHOP_SECRET_KEY": secrets.token_urlsafe(64),
    }
    surroundings.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)  # set for the browser tests
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", ask],
        env=surroundings,
        cwd=Path(shop_settings.BASE_DIR),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "__Host-sessionid __Host-csrftoken 31536000" in done.stdout


def test_a_host_cookie_is_secure_for_the_whole_site_and_for_no_other_name(
    client: Client, settings: Any
) -> None:
    """What a browser asks of a `__Host-` cookie (RFC 6265bis, section 4.1.3.2)."""
    settings.SESSION_COOKIE_SECURE = settings.CSRF_COOKIE_SECURE = True
    settings.CSRF_COOKIE_NAME = "__Host-csrftoken"
    set_here = client.get("/sign-in/", secure=True).cookies["__Host-csrftoken"]
    assert (set_here["secure"], set_here["path"], set_here["domain"]) == (True, "/", "")


def test_https_is_demanded_for_a_year(client: Client, settings: Any) -> None:
    settings.SECURE_HSTS_SECONDS = 31_536_000
    answer = client.get("/sign-in/", secure=True)
    assert answer.headers["Strict-Transport-Security"].startswith("max-age=31536000")
