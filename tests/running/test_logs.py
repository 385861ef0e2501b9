"""The lines about the running say what happened and to which page, and never about whom."""

import io
import json
import logging
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError
from django.test import Client
from django.urls import reverse

from fittings.forms.customers import CustomerForm
from tailorshop.logs import JsonFormatter, PlainFormatter, configuration
from tests.conftest import Signed
from tests.factories import CustomerFactory, PatternVersionFactory

# Words that stand nowhere else: one in a line means that something typed has got there.
GIVEN, FAMILY, PHONE, NOTE = "Zzgiven", "Zzfamily", "555zz0199", "Zznotes of a fitting"
MARKERS = ("zzgiven", "zzfamily", "555zz0199", "zznotes", "zzpassword", "zzaddress", "zzfile")


@pytest.fixture(params=[JsonFormatter, PlainFormatter])
def lines(request: pytest.FixtureRequest) -> Iterator[io.StringIO]:
    """Every record of every library down to DEBUG, more than an installation ever writes."""
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(request.param())
    names = ("", "django", "django.request", "django.db.backends", "tailorshop")
    before = {name: logging.getLogger(name).level for name in names}
    for name in names:
        logging.getLogger(name).setLevel(logging.DEBUG)
    logging.getLogger().addHandler(handler)
    yield out
    logging.getLogger().removeHandler(handler)
    for name, level in before.items():
        logging.getLogger(name).setLevel(level)


def typed(**changes: str) -> dict[str, str]:
    return {
        "given_name": GIVEN,
        "family_name": FAMILY,
        "phone": PHONE,
        "address": "Zzaddress 1",
        "notes": NOTE,
        "record_consent_on": "2026-01-05",
        **changes,
    }


def test_nothing_typed_into_the_shop_reaches_the_logs(
    fitter: Signed, lines: io.StringIO, monkeypatch: pytest.MonkeyPatch
) -> None:
    client, _ = fitter
    client.raise_request_exception = False
    assert client.post(reverse("customer-new"), typed()).status_code == 302
    assert client.post(reverse("customer-new"), typed(email="zznotes")).status_code == 422
    assert client.get(reverse("customer-list"), {"q": FAMILY}).status_code == 200
    assert client.get(f"/{FAMILY}/?q={GIVEN}").status_code == 404
    CustomerFactory(family_name=FAMILY, notes=NOTE)
    file = SimpleUploadedFile("zzfile.dxf", b"0\nSECTION\nzznotes", "application/dxf")
    bring_in = reverse("pattern-bring-in", args=[PatternVersionFactory().pattern.pk])
    assert client.post(bring_in, {"name": FAMILY, "file": file}).status_code == 422
    stranger = Client(enforce_csrf_checks=True)
    stranger.post(reverse("sign-in"), {"username": FAMILY, "password": "zzpassword"})
    Client().post(reverse("sign-in"), {"username": FAMILY, "password": "zzpassword"})

    def refuse(form: CustomerForm, **kwargs: object) -> None:
        in_hand = form.cleaned_data  # a value in a frame must not be written with the trace
        try:
            raise ValueError(f"{in_hand['phone']} is odd")
        except ValueError as odd:
            raise IntegrityError(f"Key (phone)=({PHONE}) exists") from odd

    monkeypatch.setattr(CustomerForm, "save", refuse)
    assert client.post(reverse("customer-new"), typed()).status_code == 500

    written = lines.getvalue().lower()
    assert "customer-new" in written
    assert "integrityerror" in written, "the fault is told"
    assert "test_logs.py" in written, "and the place it came from"
    assert [marker for marker in MARKERS if marker in written] == []


def requests_in(lines: io.StringIO) -> list[dict[str, Any]]:
    found = [json.loads(line) for line in lines.getvalue().splitlines()]
    return [one for one in found if one["logger"] == "tailorshop.requests"]


@pytest.mark.parametrize("lines", [JsonFormatter], indirect=True)
def test_a_line_names_page_method_status_time_and_person_by_number(
    fitter: Signed, lines: io.StringIO
) -> None:
    client, user = fitter
    customer = CustomerFactory(family_name=FAMILY)
    answer = client.get(reverse("customer", args=[customer.pk]))
    (line,) = requests_in(lines)
    assert (line["method"], line["page"], line["status"]) == ("GET", "customer", 200)
    assert line["user"] == user.pk
    assert 0 <= line["ms"] < 60_000
    assert line["request"] == answer["X-Request-ID"], "what the answer carries can be looked up"


@pytest.mark.parametrize("lines", [JsonFormatter], indirect=True)
def test_a_strangers_line_has_no_person(client: Client, lines: io.StringIO, db: None) -> None:
    client.get(reverse("sign-in"))
    (line,) = requests_in(lines)
    assert line["user"] is None


def test_an_identity_is_taken_from_a_front_server_only_where_there_is_one(
    client: Client, settings: Any, db: None
) -> None:
    given = "0123456789abcdef" * 2
    settings.SECURE_PROXY_SSL_HEADER = None
    assert client.get("/health/", headers={"X-Request-ID": given})["X-Request-ID"] != given
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    assert client.get("/health/", headers={"X-Request-ID": given})["X-Request-ID"] == given
    odd = "a\\nforged line"
    assert client.get("/health/", headers={"X-Request-ID": odd})["X-Request-ID"] != odd


def said(formatter: logging.Formatter, message: str, fault: Exception | None = None) -> str:
    info = (type(fault), fault, None) if fault else None
    record = logging.LogRecord("elsewhere", logging.ERROR, "x.py", 7, message, (), info)
    return formatter.format(record)


def test_words_of_an_unknown_library_are_left_out_for_they_may_be_filled_in_already() -> None:
    assert "Zzfamily" not in said(JsonFormatter(), "cannot read Zzfamily")
    assert json.loads(said(JsonFormatter(), "cannot read Zzfamily"))["message"] == "at x:7"


def test_a_wrong_setting_is_told_in_words_for_it_is_nobodys() -> None:
    fault = ImproperlyConfigured("TAILORSHOP_LOGS is 'x': write plain or json.")
    assert "write plain or json" in said(PlainFormatter(), "", fault)


def test_no_line_that_names_a_path_is_let_through_beside_ours() -> None:
    loggers = configuration("json")["loggers"]
    assert loggers["django.request"]["level"] == "ERROR"
    assert loggers["django.server"]["handlers"] == []
    assert loggers["gunicorn.access"]["handlers"] == []


@pytest.mark.parametrize(("form", "lines"), [("plain", 2), ("quiet", 1), ("json", 2)])
def test_a_quiet_shop_says_only_what_went_wrong(form: str, lines: int) -> None:
    """In a process of its own: how logs are written is said once for all of it."""
    told = (
        "import logging.config; from tailorshop.logs import configuration, write; "
        f"logging.config.dictConfig(configuration({form!r})); "
        "write('a request'); write('a fault', level=logging.ERROR)"
    )
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run(
        [sys.executable, "-c", told], cwd=root, capture_output=True, text=True, check=True
    )
    said = done.stderr.splitlines()
    assert len(said) == lines
    assert "a fault" in said[-1]


def test_the_host_that_a_stranger_asks_for_stays_out_of_the_logs(
    client: Client, lines: io.StringIO
) -> None:
    assert client.get("/", headers={"host": "zzfamily.example"}).status_code == 400
    assert "zzfamily" not in lines.getvalue()
    assert "DisallowedHost" in lines.getvalue()
