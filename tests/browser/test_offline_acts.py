"""Without network: undo, consents, measuring and marks wait too, in order, each done once."""

import datetime as dt
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from fittings.models import Act, Customer, Decision, Entry, Fitting, Photograph
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, Watch
from tests.browser.test_offline import (
    DROPPED,
    SAVED,
    fitter,
    fitting,
    look,
    pictures,
    read_length,
    second,
    state,
    stored,
    waiting,
)
from tests.photographs.wearer import ARM, photograph_of

__all__ = ["fitter", "fitting", "second"]
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def undo(page: Page) -> Locator:
    return page.get_by_role("button", name="Undo", exact=True)


def undoes(page: Page) -> Locator:
    return page.locator("#undo-what")


def lengths(*, standing: bool = True) -> list[float]:
    rows = Entry.objects.standing() if standing else Entry.objects.all()
    return [entry.data["amount_mm"] for entry in rows]


def again(page: Page) -> None:
    """The next try, without waiting for it."""
    page.evaluate("window.dispatchEvent(new Event('online'))")


def agree(fitting: Fitting) -> None:
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = dt.date(2026, 1, 5)
    customer.save()


def agreed() -> dt.date | None:
    return Customer.objects.get().fitting_photo_consent_on


def test_undo_takes_waiting_entries_out_and_then_waits_itself_for_what_the_record_has(
    fitter: Page,
) -> None:
    read_length(fitter, 5)
    expect(undoes(fitter)).to_contain_text("5 mm longer")
    fitter.context.set_offline(True)
    for mm in (6, 7):
        read_length(fitter, mm)
        expect(undoes(fitter)).to_contain_text(f"{mm} mm")
    undo(fitter).click()
    expect(undoes(fitter)).to_contain_text("6 mm")
    expect(fitter.locator("#said")).to_contain_text("Undone: Wearer's left: Length")
    undo(fitter).click()
    expect(waiting(fitter)).to_have_count(0)
    assert stored(fitter) == 0
    expect(undoes(fitter)).to_have_text(re.compile("^Length: 5 mm longer"))
    undo(fitter).click()
    expect(waiting(fitter)).to_contain_text("Undo: Length: 5 mm longer waiting on this device")
    expect(undo(fitter)).to_be_disabled()
    expect(undoes(fitter)).to_contain_text("What came before is known when this is sent")
    read_length(fitter, 8)
    expect(undoes(fitter)).to_contain_text("8 mm")
    expect(state(fitter)).to_have_text("2 entries wait on this device: no connection")
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    expect(undoes(fitter)).to_contain_text("8 mm longer")
    expect(fitter.locator("#said")).not_to_contain_text("on this device")
    assert lengths() == [8]
    assert lengths(standing=False) == [5, 8]


def test_undo_of_an_entry_whose_answer_was_lost_is_sent_after_it(fitter: Page) -> None:
    lost: list[int] = []
    through: list[bool] = []

    def lose(route: Route) -> None:
        """The server does its work, and nobody hears of it."""
        if through:
            return route.continue_()
        lost.append(route.fetch().status)
        return route.abort()

    fitter.route("**/entries/", lose)
    read_length(fitter, 9)
    expect(state(fitter)).to_contain_text("1 entry waits")
    undo(fitter).click()
    expect(state(fitter)).to_contain_text("2 entries wait")
    expect(waiting(fitter).last).to_contain_text("Taken back: Wearer's left: Length")
    expect(waiting(fitter).first.get_by_role("button")).to_have_count(0)
    # Putting the undo behind it was another try, whose answer is lost too.
    while len(lost) < 2:
        fitter.wait_for_timeout(50)
    fitter.wait_for_timeout(300)
    assert (set(lost), lengths()) == ({200}, [9])
    through.append(True)
    again(fitter)
    expect(state(fitter)).to_have_text(SAVED)
    assert (lengths(), lengths(standing=False)) == ([], [9])
    expect(waiting(fitter)).to_have_count(0)


def test_accept_all_whose_answer_was_lost_accepts_nothing_twice(fitter: Page) -> None:
    fitter.get_by_role("link", name=re.compile("Waist, sides")).click()
    tight = fitter.get_by_role("form", name="Cross folds at the waist")
    tight.get_by_role("button", name="Both sides").click()
    part = fitter.get_by_role("region", name=re.compile("Waist, sides"))
    every = part.get_by_role("button", name=re.compile("^Accept all 2"))
    expect(every).to_be_visible()

    def lose(route: Route) -> None:
        route.fetch()
        route.abort()

    fitter.route("**/accept/", lose, times=1)
    every.click()
    expect(state(fitter)).to_contain_text("1 entry waits")
    assert Decision.objects.count() == 2
    again(fitter)
    expect(state(fitter)).to_have_text(SAVED)
    expect(part.get_by_text("Accepted", exact=True)).to_have_count(2)
    assert Decision.objects.count() == Decision.objects.standing().count() == 2
    assert Act.objects.filter(kind="accept all").count() == 1


def photographs(page: Page) -> Locator:
    page.get_by_role("link", name="Photographs", exact=True).click()
    return page.get_by_role("region", name="Photographs", exact=True)


def test_consent_asked_without_network_switches_the_camera_on_and_goes_up_before_the_photograph(
    fitter: Page, tmp_path: Path
) -> None:
    part = photographs(fitter)
    fitter.context.set_offline(True)
    fitter.get_by_role("button", name="Asked: agrees to photographs to fit by").click()
    expect(fitter.locator("#consents-said")).to_contain_text("agreed, waiting on this device")
    expect(part.get_by_text("The camera is off")).to_be_hidden()
    part.get_by_label("Choose photographs").set_input_files(pictures(tmp_path, "one"))
    expect(state(fitter)).to_have_text("2 entries wait on this device: no connection")
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    kept = part.get_by_role("list", name="Photographs of this fitting").get_by_role("listitem")
    expect(kept).to_have_count(1)
    assert agreed() is not None
    assert Photograph.objects.count() == 1


def test_consent_taken_back_without_network_goes_ahead_and_no_waiting_photograph_is_kept(
    fitter: Page, fitting: Fitting, tmp_path: Path, watch: Watch
) -> None:
    watch.expected.append("422")
    agree(fitting)
    fitter.reload()
    part = photographs(fitter)
    fitter.context.set_offline(True)
    part.get_by_label("Choose photographs").set_input_files(pictures(tmp_path, "one", "two"))
    sending = part.get_by_role("list", name="Photographs being sent").get_by_role("listitem")
    expect(sending).to_have_count(2)
    sending.first.get_by_role("button", name="Leave it out").click()
    expect(sending).to_have_count(1)
    part.get_by_text(re.compile("^What .* agreed to")).click()
    part.get_by_role("button", name="Takes it back (photographs to fit by)").click()
    expect(part.get_by_text("The camera is off")).to_be_visible()
    expect(part.get_by_label("Choose photographs")).to_be_hidden()
    expect(sending).to_contain_text("will not be kept: the consent was taken back")
    expect(fitter.locator("#consents-said")).to_contain_text("taken back, waiting on this device")
    fitter.context.set_offline(False)
    expect(state(fitter)).to_have_text(SAVED)
    expect(sending.get_by_role("alert")).to_contain_text("has not agreed to photographs")
    assert agreed() is None
    assert not Photograph.objects.exists()
    assert stored(fitter) == 0


def test_second_device_sees_photographs_of_the_first_and_its_camera_goes_off_with_the_consent(
    fitter: Page, second: Page, fitting: Fitting, tmp_path: Path
) -> None:
    agree(fitting)
    for page in (fitter, second):
        page.reload()
    here, there = photographs(fitter), photographs(second)
    there.get_by_role("radio", name=re.compile("Back$")).check()
    kept = there.get_by_role("list", name="Photographs of this fitting").get_by_role("listitem")
    for count in (1, 2):
        here.get_by_label("Choose photographs").set_input_files(pictures(tmp_path, str(count)))
        expect(state(fitter)).to_have_text(SAVED)
        expect(here.get_by_role("link", name="Measure")).to_have_count(count)
        look(second)
        expect(kept).to_have_count(count)
    expect(there.get_by_role("radio", name=re.compile("Back$"))).to_be_checked()
    before = kept.first.locator("img").get_attribute("src")
    newest = here.get_by_role("listitem").filter(has=fitter.locator("img")).first
    newest.get_by_text("Change").click()
    newest.get_by_role("button", name="Turn it").click()
    expect(fitter.locator("#said")).to_contain_text("Turned")
    look(second)
    expect(kept.first.locator("img")).not_to_have_attribute("src", before or "")
    here.get_by_text(re.compile("^What .* agreed to")).click()
    here.get_by_role("button", name="Takes it back (photographs to fit by)").click()
    expect(here.get_by_text("The camera is off")).to_be_visible()
    look(second)
    expect(there.get_by_text("The camera is off")).to_be_visible()
    expect(there.get_by_label("Choose photographs")).to_have_count(0)
    expect(kept).to_have_count(0)


@pytest.fixture
def picture(live_server: Any, fitting: Fitting) -> Photograph:
    return photograph_of(fitting, fitting.fitter)


def touching(page: Page, live_server: Any, picture: Photograph, name: str) -> None:
    page.goto(f"{live_server.url}/fittings/photographs/{picture.pk}/{name}/")
    expect(page.locator("#asked")).to_contain_text("Touch")
    page.wait_for_load_state("networkidle")


def test_arm_measured_without_network_stays_on_the_picture_and_goes_up_once(
    signed_in: SignedIn, live_server: Any, picture: Photograph, watch: Watch
) -> None:
    watch.expected += DROPPED
    page = signed_in(Role.FITTER, units="mm")
    touching(page, live_server, picture, "measure")
    for x, y in ARM.values():
        box = page.locator("#touched").bounding_box()
        assert box
        page.mouse.click(box["x"] + x / 100 * box["width"], box["y"] + y / 100 * box["height"])
    page.context.set_offline(True)
    page.get_by_role("button", name="Keep it").click()
    expect(waiting(page)).to_contain_text("Measured, wearer's left waiting on this device")
    expect(page.locator("[data-ring]")).to_have_count(3)
    page.get_by_role("link", name="Back to the fitting").click()
    expect(page.locator("#asked")).to_contain_text("No connection")
    page.context.set_offline(False)
    expect(page.get_by_role("button", name=re.compile("^Write it into"))).to_be_enabled()
    expect(state(page)).to_have_text(SAVED)
    expect(waiting(page)).to_have_count(0)
    expect(page.locator("[data-ring]")).to_have_count(3)
    assert Entry.objects.get().kind == "note"
    touching(page, live_server, picture, "marks")
    page.mouse.click(box["x"] + 100, box["y"] + 100)
    expect(page.locator("#told")).to_have_text("Put: Pin 1.")
    page.context.set_offline(True)
    page.get_by_role("button", name="Take back: Pin 1").click()
    expect(waiting(page)).to_contain_text("Take back: Pin 1")
    page.context.set_offline(False)
    expect(state(page)).to_have_text(SAVED)
    expect(page.get_by_text("Taken back (1)")).to_be_visible()
    mark = picture.marks.get()
    assert mark.removed_at is not None
