"""Photographs at a fitting in a browser: chosen, shrunk on the device, sent, to the ticket."""

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from fittings.models import Fitting, Photograph
from fittings.photographs.keeping import load
from tailorshop.models import Role
from tests.browser.conftest import SignedIn, Watch, axe, too_small
from tests.browser.test_fitting import show
from tests.factories import FittingFactory, PatternVersionFactory
from tests.photographs.pictures import corners, exif, file, heic, quartered

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def files(tmp_path: Path) -> list[Path]:
    """A photograph lying on its side as a camera writes it, and an upright one that is large."""
    lying = quartered(120, 80).transpose(2)  # a quarter to the left, as orientation 6 says
    (tmp_path / "lying.jpg").write_bytes(file(lying, quality=95, exif=exif(6)))
    (tmp_path / "large.jpg").write_bytes(file(quartered(3000, 2000), exif=exif()))
    return [tmp_path / "lying.jpg", tmp_path / "large.jpg"]


def fitting_of(agreed: dt.date | None) -> Fitting:
    return FittingFactory(
        order__pattern_version=PatternVersionFactory(),
        order__customer__fitting_photo_consent_on=agreed,
    )


def open_photographs(page: Page, fitting: Fitting, base: str) -> None:
    page.goto(f"{base}{fitting.get_absolute_url()}")
    show(page, "Photographs")


def cards(page: Page) -> Any:
    return page.get_by_role("list", name="Photographs of this fitting").get_by_role("listitem")


def test_asked_taken_chosen_turned_and_sent_to_the_workroom(
    signed_in: SignedIn, live_server: Any, files: list[Path]
) -> None:
    fitting = fitting_of(None)
    page = signed_in(Role.FITTER)
    page.set_viewport_size({"width": 1024, "height": 768})
    open_photographs(page, fitting, live_server.url)
    axe(page)
    page.get_by_role("button", name="Asked: agrees to photographs to fit by").click()
    expect(page.locator("#consents-said")).to_contain_text("Photographs to fit by: agreed")
    expect(page.locator("#said")).to_have_text("Photographs to fit by: agreed to today.")
    page.get_by_label("Take a photograph").set_input_files(files[0])
    expect(cards(page)).to_have_count(1)
    page.get_by_role("radio", name="Detail, wearer's left").check()
    page.get_by_label("Choose photographs").set_input_files(files)
    expect(cards(page)).to_have_count(3)
    expect(page.locator("#said")).to_contain_text("One photograph kept.")
    assert {str(p) for p in Photograph.objects.all()} == {
        "the garment, from the front",
        "wearer's left, a detail",
    }
    large = Photograph.objects.get(width=2048)
    assert large.height in {1365, 1366}
    for kept in Photograph.objects.all():
        assert corners(load(kept.sha256) or b"") == ["red", "green", "blue", "black"]
    axe(page)
    assert too_small(page, 64) == []

    card = cards(page).last
    to_ticket = card.get_by_role("button", name="To the ticket")
    to_ticket.click()
    expect(to_ticket).to_have_attribute("aria-pressed", "true")
    card.get_by_text("Change").click()
    assert too_small(page, 64) == []
    card.get_by_role("button", name="Turn it").click()
    expect(page.locator("#said")).to_contain_text("Turned by a quarter")
    turned = Photograph.objects.get(to_workroom=True)
    assert corners(load(turned.sha256) or b"") == ["blue", "red", "black", "green"]
    card.get_by_text("Change").click()
    card.get_by_role("button", name="Take it back").click()
    card.get_by_role("button", name="Put back").click()
    expect(to_ticket).to_be_visible()


def lose(route: Route) -> None:
    """The record has it; the tablet never hears of it."""
    route.fetch()
    route.abort()


def on_its_way(page: Page) -> Any:
    return page.get_by_role("list", name="Photographs being sent").get_by_role("listitem")


def test_on_a_phone_what_waits_is_there_after_reopening_and_an_answer_lost_keeps_it_once(
    signed_in: SignedIn, live_server: Any, files: list[Path], watch: Watch
) -> None:
    watch.expected.append("Failed to load resource")
    fitting = fitting_of(dt.date(2026, 1, 5))
    page = signed_in(Role.FITTER)
    page.set_viewport_size({"width": 390, "height": 844})
    open_photographs(page, fitting, live_server.url)
    page.route("**/photographs/", lose)
    page.get_by_label("Choose photographs").set_input_files(files)
    for waiting in on_its_way(page).all():
        expect(waiting).to_contain_text("waiting on this device: no connection")
    expect(on_its_way(page)).to_have_count(2)
    axe(page)
    assert too_small(page, 64) == []
    page.unroute("**/photographs/")
    page.reload()
    expect(cards(page)).to_have_count(2)
    expect(on_its_way(page)).to_have_count(0)
    assert Photograph.objects.count() == 2


def test_where_the_device_keeps_nothing_it_is_sent_again_by_hand_and_kept_once(
    signed_in: SignedIn, live_server: Any, files: list[Path], watch: Watch
) -> None:
    watch.expected.append("Failed to load resource")
    fitting = fitting_of(dt.date(2026, 1, 5))
    page = signed_in(Role.FITTER)
    page.add_init_script("Object.defineProperty(window, 'indexedDB', {value: undefined})")
    open_photographs(page, fitting, live_server.url)
    page.route("**/photographs/", lose, times=1)
    page.get_by_label("Choose photographs").set_input_files(files)
    first = on_its_way(page).first
    expect(first.get_by_role("alert")).to_have_text("Not sent: no connection.")
    axe(page)
    first.get_by_role("button", name="Send again").click()
    expect(cards(page)).to_have_count(2)
    expect(on_its_way(page)).to_have_count(0)
    assert Photograph.objects.count() == 2


def test_what_the_shop_refuses_is_said_beside_it_and_the_next_goes_on(
    signed_in: SignedIn, live_server: Any, tmp_path: Path, watch: Watch
) -> None:
    watch.expected.append("422")
    (tmp_path / "phone.heic").write_bytes(heic(quartered()))  # which this browser cannot decode
    (tmp_path / "page.jpg").write_bytes(b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>")
    fitting = fitting_of(dt.date(2026, 1, 5))
    page = signed_in(Role.FITTER)
    open_photographs(page, fitting, live_server.url)
    page.get_by_label("Choose photographs").set_input_files(
        [tmp_path / name for name in ("page.jpg", "phone.heic")]
    )
    expect(cards(page)).to_have_count(1)
    assert corners(load(Photograph.objects.get().sha256) or b"")[0] == "red"
    refused = page.get_by_role("list", name="Photographs being sent").get_by_role("listitem")
    expect(refused.get_by_role("alert")).to_contain_text("This is no JPEG, PNG, WebP or HEIC")
    refused.get_by_role("button", name="Leave it out").click()
    expect(refused).to_have_count(0)


def test_without_script_a_plain_form_sends_it(
    browser: Any, live_server: Any, signed_in: SignedIn, files: list[Path]
) -> None:
    fitting = fitting_of(dt.date(2026, 1, 5))
    cookies = signed_in(Role.FITTER).context.cookies()
    context = browser.new_context(java_script_enabled=False)
    context.add_cookies(cookies)
    page = context.new_page()
    page.goto(f"{live_server.url}/fittings/{fitting.pk}/photographs/")
    page.get_by_label("Choose photographs").set_input_files(files)
    page.get_by_role("button", name="Send what was chosen").click()
    expect(page.get_by_text("2 photographs kept.")).to_be_visible()
    assert Photograph.objects.count() == 2
    context.close()
