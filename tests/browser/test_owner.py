"""The owner's day: look over the shop, accept what was learnt, take it back."""

import datetime as dt
import re
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from fittings.errands import kinds
from fittings.models import AtWork
from tailorshop.models import Role
from tailorshop.working import Working
from tests.browser.conftest import SignedIn, axe, too_small
from tests.glance.test_sheets import read_on_block
from tests.outcomes.shops import shop_with_outcomes

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_owner_looks_over_the_shop_accepts_a_share_and_withdraws_it(
    signed_in: SignedIn, live_server: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_with_outcomes(coats=16, share=0.8)
    read_on_block(5.0, customers=9, sleeves=2)
    page = signed_in(Role.OWNER)
    page.get_by_role("link", name="The shop", exact=True).last.click()
    page.get_by_role("link", name="Since the beginning").click()
    expect(page.get_by_text("Sleeves of the lean need the cuff further forward")).to_be_visible()
    plots = page.locator(".glance img")
    for n in range(plots.count()):
        plots.nth(n).scroll_into_view_if_needed()
        expect(plots.nth(n)).to_have_js_property("complete", True)
        assert plots.nth(n).evaluate("image => image.naturalWidth") > 100
    axe(page)
    assert too_small(page, 48) == []
    _the_month_is_waited_for(page, monkeypatch)
    page.get_by_role("link", name="What really comes").click()
    axe(page)
    page.get_by_role("button", name="from now on").click()
    expect(
        page.get_by_text(re.compile(r"In use from now on: 0\.[78]\d of the turn"))
    ).to_be_visible()
    axe(page)
    page.get_by_role("button", name="Withdraw 0.").click()
    expect(page.get_by_role("heading", name="Withdrawn")).to_be_visible()
    assert too_small(page, 48) == []


def _the_month_is_waited_for(page: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page tells by itself when the worker has made it."""
    monkeypatch.setattr(kinds, "month_pdf", lambda *said: b"%PDF of a month")
    worker = AtWork(name="worker", seen_at=timezone.now() + dt.timedelta(seconds=15))
    worker.save()
    page.get_by_role("button", name="Print it (PDF)").click()
    expect(page.get_by_role("heading", name="It waits its turn")).to_be_visible()
    axe(page)
    assert too_small(page, 48) == []
    Working().once()
    expect(page.get_by_role("heading", name="It is made")).to_be_visible()
    axe(page)
    assert too_small(page, 48) == []
    worker.delete()
    page.get_by_role("link", name="Back", exact=True).click()
    expect(page.get_by_role("heading", name="Asked for")).to_be_visible()
