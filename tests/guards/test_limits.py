"""Too much at once is refused in a sentence; a sentence of a stranger leads nowhere else."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.urls import reverse

from tailorshop.guards import GuardMiddleware
from tests.conftest import Signed
from tests.factories import OrderFactory, PatternVersionFactory

TYPED = "application/x-www-form-urlencoded"


def test_an_ordinary_form_is_taken(fitter: Signed) -> None:
    answer = fitter[0].post(reverse("customer-new"), {"first_name": "x" * 40})
    assert answer.status_code == 422


def test_words_longer_than_the_shop_takes_are_refused_in_a_sentence(fitter: Signed) -> None:
    answer = fitter[0].post(reverse("customer-new"), {"notes": "x" * 3_000_000})
    body = fitter[0].post(reverse("customer-new"), "notes=" + "x" * 3_000_000, content_type=TYPED)
    for one in (answer, body):
        assert one.status_code == 413
        assert "longer than the shop takes at once" in one.content.decode()


def test_more_fields_than_any_page_has_are_refused_in_a_sentence(fitter: Signed) -> None:
    body = "&".join(f"a{n}=1" for n in range(2001))
    answer = fitter[0].post(reverse("customer-new"), body, content_type=TYPED)
    assert answer.status_code == 413
    assert "more fields" in answer.content.decode()


def test_more_files_than_the_shop_takes_are_refused_in_a_sentence(fitter: Signed) -> None:
    files = [SimpleUploadedFile(f"{n}.jpg", b"x") for n in range(101)]
    answer = fitter[0].post(reverse("customer-new"), {"photograph": files})
    assert answer.status_code == 413
    assert "more files" in answer.content.decode()


@pytest.mark.parametrize(("size", "left"), [(1_050_000, b""), (1_200_000, b"b")])
def test_a_request_that_says_it_is_too_large_is_refused_and_what_a_front_lets_through_is_read_off(
    rf: RequestFactory, settings: Any, size: int, left: bytes
) -> None:
    settings.REQUEST_MOST_BYTES = 1_000_000
    request = rf.post("/sign-in/", "b" * size, content_type=TYPED)
    answer = GuardMiddleware(lambda request: HttpResponse())(request)
    assert answer.status_code == 413
    assert "1 million bytes" in answer.content.decode()
    assert "Permissions-Policy" in answer.headers
    assert request.read(1) == left


def test_keys_and_moments_that_are_none_break_no_page(owner: Signed) -> None:
    version = PatternVersionFactory()
    order = OrderFactory(pattern_version=version)
    client, long = owner[0], "9" * 5000
    start = reverse("pattern-start", args=[order.customer_id, version.pk])
    begun = f"{reverse('order-new', args=[order.customer_id])}?from={long}"
    for key in ("it", long):
        assert client.post(start, {"order": key}).status_code == 404
        assert client.post(reverse("usersessions_list"), {"end": key}).status_code == 404
    assert client.get(begun).status_code == 200
    for number in (2**31, 2**63, int("9" * 30)):
        assert client.get(f"/patterns/{number}/1/").status_code == 404
    for moment in ("0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"):
        assert client.get(reverse("trail"), {"before": moment}).status_code == 200


def test_a_zero_sign_which_postgresql_keeps_in_no_text_is_not_understood(owner: Signed) -> None:
    paper = reverse("ticket", args=["T-0001", 1]).replace("T-0001", "T%00")
    for answer in (
        owner[0].get(reverse("search"), {"q": "a\0b"}),
        owner[0].get(paper),
        owner[0].post(reverse("glance-month"), {"month": "2026-03", "asked_as": "\0"}),
    ):
        assert answer.status_code == 400
        assert "did not understand" in answer.content.decode()


@pytest.mark.django_db
def test_a_name_that_the_shop_does_not_go_by_is_not_understood(client: Client) -> None:
    answer = client.get("/sign-in/", headers={"host": "198.51.100.1"})
    assert answer.status_code == 400
    assert "did not understand" in answer.content.decode()


@pytest.mark.parametrize(
    "elsewhere",
    [
        "//198.51.100.1/",
        "https://198.51.100.1/",
        "\\\\198.51.100.1",
        "/\\198.51.100.1",
        "javascript:chalk()",
        "http:///198.51.100.1",
        " //198.51.100.1",
        "/\t/198.51.100.1",
    ],
)
def test_signing_in_leads_to_no_other_place_than_the_shop(fitter: Signed, elsewhere: str) -> None:
    client, user = fitter
    user.set_password("a chalk line and a thread")
    user.save()
    client.logout()
    typed = {"login": user.username, "password": "a chalk line and a thread", "next": elsewhere}
    answer = client.post(reverse("sign-in"), typed)
    assert answer.status_code == 302, answer.context["form"].errors
    assert answer["Location"] == reverse("today")
