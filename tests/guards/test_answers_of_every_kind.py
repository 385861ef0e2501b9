"""Refusals, faults and files tell the browser the same as pages do."""

from collections.abc import Callable
from typing import Any, Final

import pytest
from django.conf import settings as shop_settings
from django.db import OperationalError
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from fittings.models import Customer
from tests.factories import CustomerFactory
from tests.ticket.worked import LEFT_FORWARD, issued

Signed = tuple[Client, Any]
Answer = Callable[[Signed, pytest.MonkeyPatch], HttpResponse]
pytestmark = pytest.mark.django_db

# After the OWASP Secure Headers project's list of what an answer should carry, from memory.
SAID: Final = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}


def a_form(fitter: Signed) -> dict[str, str]:
    return {"given_name": "Ada", "family_name": "Sample", "compare_with": "women"}


def page(fitter: Signed, _: Any) -> Any:
    return fitter[0].get(reverse("today"))


def sent_to_sign_in(fitter: Signed, _: Any) -> Any:
    return Client().get(reverse("today"))


def another_host(fitter: Signed, _: Any) -> Any:
    return fitter[0].get(reverse("today"), headers={"host": "elsewhere.example"})


def without_its_token(fitter: Signed, _: Any) -> Any:
    strict = Client(enforce_csrf_checks=True)
    return strict.post(reverse("sign-in"), {"login": "a", "password": "b"})


def not_there(fitter: Signed, _: Any) -> Any:
    return fitter[0].get("/nowhere/")


def a_method_it_has_not(fitter: Signed, _: Any) -> Any:
    return fitter[0].get(reverse("print-run-new"))


def changed_meanwhile(fitter: Signed, _: Any) -> Any:
    row = CustomerFactory()
    typed = a_form(fitter) | {"version": "7"}
    return fitter[0].post(reverse("customer-edit", args=[row.pk]), typed)


def too_large(fitter: Signed, _: Any) -> Any:
    long = "x" * (shop_settings.DATA_UPLOAD_MAX_MEMORY_SIZE + 1)
    return fitter[0].post(reverse("customer-new"), {"notes": long})


def a_fault_in_the_form(fitter: Signed, _: Any) -> Any:
    return fitter[0].post(reverse("customer-new"), {})


def a_fault_of_ours(fitter: Signed, monkeypatch: pytest.MonkeyPatch) -> Any:
    return _with(fitter[0], monkeypatch, KeyError("ours"))


def a_fault_of_the_machine(fitter: Signed, monkeypatch: pytest.MonkeyPatch) -> Any:
    return _with(fitter[0], monkeypatch, OperationalError("database or disk is full"))


def a_paper(fitter: Signed, _: Any) -> Any:
    ticket = issued(LEFT_FORWARD)
    return fitter[0].get(reverse("ticket-pdf", args=[ticket.number, ticket.revision]))


def _with(client: Client, monkeypatch: pytest.MonkeyPatch, fault: Exception) -> Any:
    def broken(*args: Any, **kwargs: Any) -> None:
        raise fault

    monkeypatch.setattr(Customer, "save_base", broken)
    client.raise_request_exception = False
    return client.post(reverse("customer-new"), {"given_name": "Ada", "family_name": "Sample"})


@pytest.mark.parametrize(
    ("ask", "status"),
    [
        (page, 200),
        (a_paper, 200),
        (sent_to_sign_in, 302),
        (another_host, 400),
        (without_its_token, 403),
        (not_there, 404),
        (a_method_it_has_not, 405),
        (changed_meanwhile, 409),
        (too_large, 413),
        (a_fault_in_the_form, 422),
        (a_fault_of_ours, 500),
        (a_fault_of_the_machine, 503),
    ],
)
def test_an_answer_of_any_kind_says_what_a_browser_may_do_with_it(
    ask: Answer, status: int, fitter: Signed, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer = ask(fitter, monkeypatch)
    assert answer.status_code == status
    for header, value in SAID.items():
        assert answer.headers.get(header) == value, header
    assert "geolocation=()" in answer.headers["Permissions-Policy"]
    policy = answer.headers["Content-Security-Policy"]
    assert {"default-src 'self'", "frame-ancestors 'none'"} <= set(policy.split("; "))
    assert "unsafe" not in policy
