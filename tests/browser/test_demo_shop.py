"""The demo shop, each role's day in a real browser: what a newcomer sees after `make run`."""

import re
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from fittings.demo.factories import PASSWORD
from fittings.demo.shop import STAFF
from fittings.models import Customer, Decision, Fitting, Order, Stage, Ticket
from tailorshop.models import Role
from tests.browser.conftest import Watch, axe
from tests.demo import open_demo

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop(live_server: Any) -> str:
    open_demo()
    return str(live_server.url)


def come_in(page: Page, shop: str, username: str) -> None:
    page.goto(f"{shop}/sign-in/")
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Today")


def test_demo_shop_has_a_dozen_customers_orders_at_every_stage_and_every_kind_of_reading(
    shop: str,
) -> None:
    assert Customer.objects.count() == 12
    assert set(Order.objects.values_list("stage", flat=True)) == set(Stage.values)
    read = {e.data["what"] for f in Fitting.objects.all() for e in f.entries.filter(kind="reading")}
    assert read == {
        "pitch",
        "slack",
        "swing_test",
        "crease",
        "elbow_direction",
        "hindarm_shows",
        "length",
        "finding",
    }
    assert set(Decision.objects.values_list("verdict", flat=True)) == {
        "accepted",
        "amended",
        "refused",
    }
    for ticket in Ticket.objects.all():
        on_pattern = any(line.get("on_pattern", True) for line in ticket.content["lines"])
        assert (ticket.pattern_after_id is not None) == on_pattern


def test_fitter_logs_a_sleeve_and_finds_the_pattern_at_a_new_version(page: Page, shop: str) -> None:
    come_in(page, shop, "ines")
    page.get_by_role("link", name="Lorcan Pellamy").first.click()
    page.wait_for_load_state()
    order_of_checks = page.get_by_role("navigation", name="Order of checks")
    order_of_checks.get_by_role("link", name="Sleeves").click()
    left = page.get_by_role("region", name="Wearer's left")
    left.get_by_text("Pitch, by the cuff").click()
    cuff = left.locator("details[open]")
    cuff.get_by_role("radio", name="Arm forward of the sleeve").check()
    cuff.get_by_label("How far, cm").fill("6.3")
    # Two checks tapped one right after the other are both kept, and so is what was half entered.
    order_of_checks.get_by_role("link", name="Balance").click()
    for following in ("Shoulders", "Collar"):
        page.get_by_role("button", name="Settled", exact=True).click()
        expect(page.get_by_role("heading", name=following)).to_be_focused()
    for name in ("Balance", "Shoulders"):
        expect(order_of_checks.get_by_role("link", name=name)).to_contain_text("settled")
    order_of_checks.get_by_role("link", name="Sleeves").click()
    expect(cuff.get_by_label("How far, cm")).to_have_value("6.3")
    cuff.get_by_role("button", name="Save").click()
    expect(left.get_by_text("cuff forward").first).to_be_visible()
    axe(page)
    order_of_checks.get_by_role("link", name="Sign and ticket").click()
    page.get_by_role("link", name="Answer all readings together").click()
    expect(page.get_by_text("nothing is left of it")).to_be_visible()
    axe(page)
    page.get_by_role("link", name="Back to the fitting").click()
    page.wait_for_load_state()
    order_of_checks.get_by_role("link", name="Sleeves").click()
    left.get_by_role("button", name="Accept").click()
    expect(left.get_by_text("Accepted")).to_be_visible()
    order_of_checks.get_by_role("link", name="Sign and ticket").click()
    page.get_by_role("button", name="Sign the fitting").click()
    page.get_by_role("button", name="Issue the ticket").click()
    page.get_by_role("link", name="Open the ticket").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("T-")
    axe(page)
    ticket = Ticket.objects.latest("issued_at")
    assert ticket.order.customer.family_name == "Pellamy"
    page.goto(f"{shop}{ticket.get_absolute_url()}")
    assert ticket.pattern_after is not None
    page.goto(f"{shop}{ticket.pattern_after.get_absolute_url()}")
    expect(page.get_by_text("cuff forward").first).to_be_visible()
    axe(page)


def test_workroom_reads_a_ticket_and_no_contact_data(page: Page, shop: str) -> None:
    come_in(page, shop, "tomasz")
    expect(page.get_by_role("link", name="Customers")).to_have_count(0)
    ticket = Ticket.objects.filter(lines__done_at=None)[0]
    page.get_by_role("link", name="Tickets", exact=True).click()
    page.get_by_role("link", name=ticket.number).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(ticket.number)
    axe(page)
    assert ticket.order.customer.phone not in page.content()
    page.get_by_role("button", name="Line 1 is done").click()
    expect(page.get_by_text("done by Tomasz Birkel").first).to_be_visible()


def test_owner_reviews_a_customers_pattern_through_the_years(page: Page, shop: str) -> None:
    come_in(page, shop, "maud")
    page.get_by_role("link", name="Customers", exact=True).click()
    page.get_by_label("Name, number").fill("fenwharf")
    page.keyboard.press("Enter")
    page.get_by_role("link", name=re.compile("Fenwharf")).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Fenwharf")
    axe(page)
    page.get_by_role("link", name=re.compile("Coat, .+, version")).first.click()
    expect(page.get_by_role("link", name="All versions")).to_be_visible()
    axe(page)
    page.get_by_role("link", name="All versions").click()
    expect(page.get_by_role("heading", name="Version 4", exact=True)).to_be_visible()
    expect(page.get_by_text("notches along the armhole").first).to_be_visible()
    axe(page)


def test_owner_makes_an_account(page: Page, shop: str, watch: Watch) -> None:
    watch.expected = ["422"]
    come_in(page, shop, "maud")
    page.get_by_role("link", name="Staff").click()
    expect(page.get_by_role("link", name="New account")).to_be_visible()
    axe(page)
    page.get_by_role("link", name="New account").click()
    expect(page.get_by_label("Your password")).to_be_visible()
    axe(page)
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    axe(page)
    page.get_by_label("Username").fill("nadia")
    page.get_by_label("New password").fill("short")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("too short").first).to_be_visible()
    expect(page.get_by_label("Username")).to_have_value("nadia")
    axe(page)


def test_opening_the_demo_again_keeps_what_was_entered(shop: str) -> None:
    before = Customer.objects.count()
    call_command("demo", stdout=StringIO())
    assert Customer.objects.count() == before
    assert {role for *_, role, _ in STAFF} == set(Role.values)
