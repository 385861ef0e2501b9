"""The frame of every page."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.conftest import Signed


@pytest.mark.django_db
def test_sign_in_page_draws_the_form_without_any_inline_style(client: Client) -> None:
    answer = client.get(reverse("sign-in"))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert '<label for="id_username">' in page
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
        {"username": user.username, "password": "a long enough one", "next": "/orders/"},
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
