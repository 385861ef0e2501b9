"""The frame of every page."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.shortcuts import render
from django.template.loader import render_to_string
from django.test import Client, RequestFactory
from django.urls import reverse

from fittings.refusals import Frozen
from tests.conftest import Signed


@pytest.mark.django_db
def test_sign_in_page_draws_the_form_without_any_inline_style(client: Client) -> None:
    answer = client.get(reverse("sign-in"))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert '<label for="id_login">' in page
    assert "<style" not in page
    assert " style=" not in page
    assert "default-src 'self'" in answer["Content-Security-Policy"]


@pytest.mark.django_db
def test_sign_in_leads_to_the_page_asked_for(client: Client, fitter: Signed) -> None:
    user = fitter[1]
    user.set_password("a long enough one")
    user.save()
    answer = client.post(
        reverse("sign-in"),
        {"login": user.username, "password": "a long enough one", "next": "/orders/"},
    )
    assert answer.status_code == 302
    assert answer["Location"] == "/orders/"


def test_menu_of_the_workroom_has_no_customers(workroom: Signed) -> None:
    page = workroom[0].get("/no-such-address/").content.decode()
    assert reverse("customer-list") not in page
    assert reverse("ticket-list") in page


def test_sign_out_is_a_post_so_that_no_link_can_do_it(fitter: Signed) -> None:
    assert fitter[0].get(reverse("sign-out")).status_code == 405
    assert fitter[0].post(reverse("sign-out")).status_code == 302


def test_a_refused_step_says_why_and_what_to_do(rf: RequestFactory) -> None:
    request = rf.post("/anything/")
    request.htmx = False  # type: ignore[attr-defined]
    page = render(request, "refused.html", {"refusal": Frozen("It is signed: amend it.")})
    text = page.content.decode()
    assert "It is signed: amend it." in text
    assert "back button" in text
    assert "<html" in text


def test_a_refused_part_is_not_answered_with_a_whole_page(rf: RequestFactory) -> None:
    request = rf.post("/anything/")
    request.htmx = True  # type: ignore[attr-defined]
    page = render(request, "refused.html", {"refusal": Frozen("It is signed: amend it.")})
    text = page.content.decode()
    assert "It is signed: amend it." in text
    assert "<html" not in text


def test_a_form_without_its_token_gets_our_own_page(db: None) -> None:
    client = Client(enforce_csrf_checks=True)
    answer = client.post(reverse("sign-in"), {"login": "x", "password": "y"})
    assert answer.status_code == 403
    assert "The shop did not accept that" in answer.content.decode()


def test_a_broken_page_is_drawn_without_asking_the_database() -> None:
    text = render_to_string("500.html")
    assert "Something broke" in text
    assert "Sign out" not in text


def test_nothing_on_a_page_is_fetched_from_elsewhere(fitter: Signed) -> None:
    for name in ("today", "customer-new"):
        page = fitter[0].get(reverse(name)).content.decode()
        assert not re.findall(r'(?:src|href)="(?:https?:)?//', page)
    css = Path(str(settings.BASE_DIR), "static/css/shop.css").read_text()
    assert "http" not in css


def test_every_font_the_stylesheet_names_is_shipped_with_its_licence() -> None:
    fonts = Path(str(settings.BASE_DIR), "static/fonts")
    css = Path(str(settings.BASE_DIR), "static/css/shop.css").read_text()
    named = set(re.findall(r"\.\./fonts/([\w.-]+)", css))
    assert named == {font.name for font in fonts.glob("*.woff2")}
    assert "SIL Open Font License" in (fonts / "OFL.txt").read_text()


# Contrast of text on paper: at least 7:1, WCAG 2.2 success criterion 1.4.6 (relative luminance
# as defined there).
@pytest.mark.parametrize("name", ["ink", "soft", "chalk", "told", "stop"])
def test_every_colour_of_words_is_seven_to_one_on_every_paper(name: str) -> None:
    css = Path(str(settings.BASE_DIR), "static/css/shop.css").read_text()
    colours = dict(re.findall(r"--([\w-]+): #([0-9a-f]{6});", css))

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    for paper in ("paper", "wash", "told-wash", "stop-wash"):
        ratio = (luminance(colours[paper]) + 0.05) / (luminance(colours[name]) + 0.05)
        assert ratio >= 7, (name, paper, round(ratio, 2))
