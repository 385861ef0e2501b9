"""The network drops in the middle of a fitting: by the record nothing is lost or doubled."""

import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Route, expect

from fittings.models import Decision, Entry, Fitting, Photograph
from tailorshop.models import Role, User
from tests.browser.conftest import PASSWORD, SignedIn, Watch, axe, open_person, too_small
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory, UserFactory
from tests.photographs.pictures import file, quartered

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

DROPPED = ["ERR_INTERNET_DISCONNECTED", "ERR_FAILED", "ERR_ABORTED", "503"]
SAVED = "Everything is saved"


@pytest.fixture
def fitting() -> Fitting:
    row: Fitting = FittingFactory(order=OrderFactory(pattern_version=PatternVersionFactory()))
    return row


@pytest.fixture
def fitter(signed_in: SignedIn, live_server: Any, fitting: Fitting, watch: Watch) -> Page:
    """The fitting page with the sleeves in front; complaints of a dropped network are expected."""
    watch.expected += DROPPED
    return at(signed_in(Role.FITTER, units="mm"), live_server, fitting)


def at(page: Page, live_server: Any, fitting: Fitting) -> Page:
    page.goto(f"{live_server.url}{fitting.get_absolute_url()}#part-sleeves")
    expect(state(page)).to_have_text(SAVED)
    return page


def state(page: Page) -> Locator:
    return page.locator(".outbox-state")


def side(page: Page, name: str = "left") -> Locator:
    return page.get_by_role("region", name=f"Wearer's {name}", exact=True)


def read_length(page: Page, mm: int, name: str = "left") -> None:
    """A reading, by tapping; its small form is opened where it is not."""
    form = (
        side(page, name)
        .locator("details.kind")
        .filter(has=page.locator("summary", has_text=re.compile("^Length")))
    )
    if form.get_attribute("open") is None:
        form.locator("summary").click()
    # No hand is so quick as to begin the next before the last is on the disk and the form is empty.
    longer = form.get_by_role("radio", name="Longer")
    expect(longer).not_to_be_checked()
    longer.check()
    form.get_by_label("By how much, mm").fill(str(mm))
    form.get_by_role("button", name=f"Save, wearer's {name}").click()


def amounts() -> list[float]:
    """The lengths read, in the order of the device's clock."""
    return [entry.data["amount_mm"] for entry in Entry.objects.order_by("made_at")]


def received() -> list[float]:
    return [entry.data["amount_mm"] for entry in Entry.objects.order_by("received_at")]


def waiting(page: Page) -> Locator:
    return page.locator(".waits-here")


def test_entry_that_goes_through_never_waits_on_the_device(fitter: Page) -> None:
    read_length(fitter, 8)
    expect(side(fitter).get_by_text("Length: 8 mm longer").first).to_be_visible()
    expect(waiting(fitter)).to_have_count(0)
    expect(state(fitter)).to_have_text(SAVED)
    assert stored(fitter) == 0


def test_shop_on_one_computer_without_any_network_keeps_what_is_tapped(
    signed_in: SignedIn, live_server: Any, fitting: Fitting
) -> None:
    page = signed_in(Role.FITTER, units="mm")
    page.add_init_script("Object.defineProperty(navigator, 'onLine', { get: () => false })")
    at(page, live_server, fitting)
    read_length(page, 8)
    expect(side(page).get_by_text("Length: 8 mm longer").first).to_be_visible()
    expect(state(page)).to_have_text(SAVED)


def stored(page: Page) -> int:
    """How much lies in the device's own storage."""
    count: int = page.evaluate(
        """() => new Promise(done => {
            const asked = indexedDB.open("outbox");
            asked.onsuccess = () => {
                const items = asked.result.transaction("items").objectStore("items").count();
                items.onsuccess = () => { asked.result.close(); done(items.result); };
            };
        })"""
    )
    return count


def test_entries_tapped_without_network_go_up_once_in_order_as_made(fitter: Page) -> None:
    read_length(fitter, 5)
    expect(side(fitter).get_by_text("Length: 5 mm longer").first).to_be_visible()
    fitter.context.set_offline(True)
    for mm in (6, 7, 8):
        read_length(fitter, mm)
        expect(waiting(fitter).filter(has_text=f"{mm}")).to_contain_text("waiting on this device")
    expect(state(fitter)).to_have_text("3 entries wait on this device: no connection")
    assert Entry.objects.count() == 1
    axe(fitter)
    assert too_small(fitter, 64) == []
    fitter.wait_for_timeout(1200)
    cut = dt.datetime.now(dt.UTC)
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    expect(side(fitter).get_by_text("Length: 8 mm longer").first).to_be_visible()
    expect(waiting(fitter)).to_have_count(0)
    assert amounts() == received() == [5, 6, 7, 8]
    assert all(e.made_at < cut - dt.timedelta(seconds=1) for e in Entry.objects.all())
    assert stored(fitter) == 0


def test_answer_lost_after_the_record_kept_it_is_not_kept_twice(fitter: Page) -> None:
    lost: list[int] = []

    def lose(route: Route) -> None:
        """The server does its work, and nobody hears of it."""
        lost.append(route.fetch().status)
        route.abort()

    fitter.route("**/entries/", lose, times=1)
    read_length(fitter, 9)
    expect(state(fitter)).to_have_text("1 entry waits on this device: no connection")
    assert lost == [200]
    kept = Entry.objects.get()
    fitter.evaluate("window.dispatchEvent(new Event('online'))")
    expect(state(fitter)).to_have_text(SAVED)
    expect(side(fitter).get_by_text("Length: 9 mm longer").first).to_be_visible()
    assert Entry.objects.get() == kept


def test_front_server_without_the_shop_behind_it_keeps_the_entry_waiting(fitter: Page) -> None:
    fitter.route("**/entries/", lambda route: route.fulfill(status=503, body="away"), times=1)
    read_length(fitter, 4)
    expect(state(fitter)).to_contain_text("the shop's computer does not answer")
    fitter.evaluate("window.dispatchEvent(new Event('online'))")
    expect(state(fitter)).to_have_text(SAVED)
    assert amounts() == [4]


def test_checks_taking_back_and_decisions_wait_their_turn(fitter: Page) -> None:
    read_length(fitter, 12)
    card = side(fitter).get_by_role("article", name=re.compile("12 mm|[Ll]onger"))
    expect(card).to_be_visible()
    fitter.context.set_offline(True)
    card.get_by_role("button", name=re.compile("^Accept")).click()
    side(fitter).get_by_role("button", name=re.compile("^Take back: Length")).first.click()
    expect(state(fitter)).to_contain_text("2 entries wait")
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    entry, decision = Entry.objects.get(), Decision.objects.get()
    assert entry.removed_at is not None
    assert entry.made_at < decision.decided_at < entry.removed_at


PLAIN_HTTP = """Object.defineProperty(navigator, "locks", { value: undefined });
Object.defineProperty(crypto, "randomUUID", { value: undefined });"""


def test_two_tabs_over_plain_http_send_each_entry_once_and_in_order(
    fitter: Page, live_server: Any, fitting: Fitting
) -> None:
    """Browsers give locks and ready-made identities to secure addresses only."""
    context = fitter.context
    context.add_init_script(PLAIN_HTTP)
    fitter.reload()
    other = at(context.new_page(), live_server, fitting)
    assert other.evaluate("navigator.locks === undefined && crypto.randomUUID === undefined")
    sent: list[str] = []
    context.on("request", lambda one: sent.append(one.url) if one.method == "POST" else None)
    context.set_offline(True)
    read_length(fitter, 5)
    read_length(other, 6)
    read_length(fitter, 7)
    expect(state(other)).to_contain_text("3 entries wait")
    context.set_offline(False)
    for page in (fitter, other):
        expect(state(page)).to_have_text(SAVED)
        expect(side(page).get_by_text("Length: 7 mm longer").first).to_be_visible()
    assert amounts() == received() == [5, 6, 7]
    assert len(sent) == 3


def test_entry_begun_while_another_is_on_its_way_is_left_as_it_stands(fitter: Page) -> None:
    held: list[Route] = []
    fitter.route("**/entries/", lambda route: held.append(route), times=1)
    read_length(fitter, 5)
    amount = fitter.locator("#left-length-by")
    amount.fill("6")
    fitter.wait_for_timeout(300)
    held[0].abort()
    expect(state(fitter)).to_contain_text("1 entry waits")
    expect(amount).to_have_value("6")
    side(fitter).get_by_role("button", name="Save, wearer's left").locator("visible=true").click()
    expect(state(fitter)).to_have_text(SAVED)
    assert amounts() == received() == [5, 6]


def test_tab_closed_with_entries_waiting_sends_them_at_the_next_opening(
    fitter: Page, live_server: Any, fitting: Fitting
) -> None:
    context = fitter.context
    context.set_offline(True)
    for mm in (3, 4):
        read_length(fitter, mm)
    expect(state(fitter)).to_contain_text("2 entries wait")
    fitter.close()
    assert not Entry.objects.exists()
    context.set_offline(False)
    opened = context.new_page()
    opened.goto(f"{live_server.url}/orders/")
    expect(state(opened)).to_have_text(SAVED)
    assert amounts() == received() == [3, 4]


def test_what_is_refused_for_good_waits_for_the_fitter_with_what_was_typed(
    fitter: Page, watch: Watch
) -> None:
    watch.expected.append("422")
    fitter.context.set_offline(True)
    read_length(fitter, 9999)
    read_length(fitter, 7)
    expect(state(fitter)).to_contain_text("2 entries wait")
    fitter.context.set_offline(False)
    needs = fitter.get_by_role("region", name="Not kept: needs you")
    expect(needs).to_contain_text("9999")
    expect(state(fitter)).to_have_text("1 entry needs you: see below")
    assert amounts() == [7]
    axe(fitter)
    needs.get_by_role("button", name="Mend it").click()
    field = fitter.locator("#left-length-by")
    expect(field).to_have_value("9999")
    field.fill("9")
    side(fitter).get_by_role("button", name="Save, wearer's left").locator("visible=true").click()
    expect(state(fitter)).to_have_text(SAVED)
    expect(needs).to_be_hidden()
    assert sorted(amounts()) == [7, 9]


def test_signing_needs_an_empty_outbox_and_the_connection(fitter: Page) -> None:
    fitter.get_by_role("link", name=re.compile("^Sign and ticket")).click()
    key = fitter.get_by_role("button", name="Sign the fitting")
    expect(key).to_be_enabled()
    fitter.context.set_offline(True)
    expect(key).to_be_disabled()
    expect(fitter.get_by_text("No connection: this is possible when it is back.")).to_be_visible()
    fitter.context.set_offline(False)
    expect(key).to_be_enabled()


def test_session_that_ran_out_waits_for_the_same_person_and_not_for_another(
    fitter: Page, live_server: Any, fitting: Fitting
) -> None:
    fitter.context.clear_cookies(name="sessionid")
    read_length(fitter, 6)
    expect(state(fitter)).to_have_text("1 entry waits on this device: sign in again to send")
    first = User.objects.filter(role=Role.FITTER).latest("pk")
    other = sign_in(fitter, live_server, person(first_name="Odo", last_name="Sample"))
    expect(state(other)).to_contain_text(f"1 entry of {first} waits on this device until")
    assert not Entry.objects.exists()
    other.context.clear_cookies()
    again = sign_in(other, live_server, first)
    expect(state(again)).to_have_text(SAVED)
    assert Entry.objects.get().made_by == first


def person(**facts: Any) -> User:
    user: User = UserFactory(role=Role.FITTER, units="mm", **facts)
    user.set_password(PASSWORD)
    user.save()
    return user


def sign_in(page: Page, live_server: Any, user: User) -> Page:
    page.goto(f"{live_server.url}/sign-in/")
    page.get_by_label("Username").fill(user.username)
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(f"{live_server.url}/")
    return page


def test_signing_out_with_entries_waiting_asks_and_then_empties_the_device(fitter: Page) -> None:
    fitter.route("**/entries/", lambda route: route.abort())
    read_length(fitter, 6)
    expect(state(fitter)).to_contain_text("1 entry waits")
    open_person(fitter).get_by_role("button", name="Sign out", exact=True).click()
    asked = fitter.get_by_role("dialog", name="Not sent yet")
    expect(asked).to_contain_text("Wearer's left: Length: Longer, By how much 6 mm")
    axe(fitter)
    asked.get_by_role("button", name="Stay signed in").click()
    assert stored(fitter) == 1
    open_person(fitter).get_by_role("button", name="Sign out", exact=True).click()
    asked.get_by_role("button", name="Throw it away and sign out").click()
    expect(fitter.get_by_role("heading", name="Sign in")).to_be_visible()
    assert stored(fitter) == 0
    assert not Entry.objects.exists()


@pytest.fixture
def second(browser: Any, live_server: Any, fitting: Fitting) -> Iterator[Page]:
    """Another person's device at the same fitting."""
    context: BrowserContext = browser.new_context()
    page = sign_in(context.new_page(), live_server, person(first_name="Odo", last_name="Sample"))
    yield at(page, live_server, fitting)
    context.close()


def pictures(folder: Path, *names: str) -> list[Path]:
    made = [folder / f"{name}.jpg" for name in names]
    for number, path in enumerate(made):
        path.write_bytes(file(quartered(600 + number, 400)))
    return made


def test_photographs_and_entries_tapped_without_network_go_up_once_in_order(
    fitter: Page, live_server: Any, fitting: Fitting, tmp_path: Path
) -> None:
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = dt.date(2026, 1, 5)
    customer.save()
    fitter.reload()
    expect(state(fitter)).to_have_text(SAVED)
    fitter.context.set_offline(True)
    read_length(fitter, 5)
    fitter.get_by_role("link", name="Photographs").click()
    choose = fitter.get_by_label("Choose photographs")
    choose.set_input_files(pictures(tmp_path, "one", "two"))
    sending = fitter.get_by_role("list", name="Photographs being sent").get_by_role("listitem")
    expect(sending).to_have_count(2)
    expect(sending.last).to_contain_text("waiting on this device")
    expect(state(fitter)).to_have_text("3 entries wait on this device: no connection")
    fitter.get_by_role("link", name=re.compile("^7. Sleeves")).click()
    read_length(fitter, 6)
    expect(state(fitter)).to_contain_text("4 entries wait")
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    kept = list(Photograph.objects.order_by("taken_at"))
    assert [photograph.width for photograph in kept] == [600, 601]
    assert amounts() == [5, 6]
    first, last = Entry.objects.order_by("made_at")
    assert first.made_at < kept[0].taken_at <= kept[1].taken_at < last.made_at
    assert first.received_at < kept[0].received_at < kept[1].received_at < last.received_at
    assert stored(fitter) == 0


def test_page_loaded_anew_while_the_upload_fails_shows_what_waits_and_sends_it(
    fitter: Page, live_server: Any, fitting: Fitting, tmp_path: Path
) -> None:
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = dt.date(2026, 1, 5)
    customer.save()
    fitter.reload()
    fitter.route("**/photographs/", lambda route: route.abort())
    fitter.get_by_role("link", name="Photographs").click()
    fitter.get_by_label("Choose photographs").set_input_files(pictures(tmp_path, "one"))
    expect(state(fitter)).to_contain_text("1 entry waits")
    fitter.reload()
    fitter.get_by_role("link", name="Photographs").click()
    sending = fitter.get_by_role("list", name="Photographs being sent").get_by_role("listitem")
    expect(sending).to_contain_text("waiting on this device")
    fitter.unroute("**/photographs/")
    fitter.evaluate("window.dispatchEvent(new Event('online'))")
    expect(state(fitter)).to_have_text(SAVED)
    expect(sending).to_have_count(0)
    assert Photograph.objects.count() == 1


def look(page: Page) -> None:
    """The next turn of asking what others kept, without waiting for it."""
    page.evaluate("document.dispatchEvent(new CustomEvent('fitting:moved'))")


def test_two_devices_see_each_others_entries_and_leave_what_is_being_entered(
    fitter: Page, second: Page
) -> None:
    form = (
        side(fitter, "right")
        .locator("details.kind")
        .filter(has=fitter.locator("summary", has_text=re.compile("^Length")))
    )
    form.locator("summary").click()
    form.get_by_label("By how much, mm").fill("11")
    read_length(second, 8, "left")
    read_length(second, 9, "right")
    expect(side(second, "right").get_by_text("Length: 9 mm longer").first).to_be_visible()
    look(fitter)
    expect(side(fitter).get_by_text("Length: 8 mm longer").first).to_be_visible()
    expect(side(fitter, "right").get_by_text("Length: 9 mm longer").first).to_be_visible()
    expect(form.get_by_label("By how much, mm")).to_have_value("11")


def test_check_said_otherwise_on_a_device_without_network_shows_both(
    fitter: Page, second: Page
) -> None:
    check = "form.check[data-check=balance]"
    for page in (fitter, second):
        page.get_by_role("link", name=re.compile("Balance")).click()
    fitter.context.set_offline(True)
    fitter.locator(check).get_by_role("button", name="Settled", exact=True).click()
    second.locator(check).get_by_role("button", name="Still open").click()
    expect(second.locator(check)).to_contain_text("Balance: open")
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    fitter.get_by_role("link", name=re.compile("Balance")).click()
    expect(fitter.locator(check)).to_contain_text("without seeing each other")
    assert Entry.objects.standing().count() == 2
    fitter.locator(check).get_by_role("button", name="Settled", exact=True).click()
    expect(fitter.locator(check)).not_to_contain_text("without seeing each other")
