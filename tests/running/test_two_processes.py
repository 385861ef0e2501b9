"""Two hosts, one shop: what is begun at one goes on at the other; nothing typed is in the logs.

Each host is a gunicorn of its own with a folder of its own; they share the database and a bucket of
photographs, nothing else.
"""

import datetime as dt
import io
import json
import re
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import requests
from django.contrib.auth.hashers import PBKDF2PasswordHasher
from django.urls import reverse
from PIL import Image

from tailorshop.models import Role
from tests.factories import CustomerFactory, FittingFactory, UserFactory
from tests.photographs.pictures import file, quartered
from tests.running.processes import (
    Running,
    Visitor,
    collect_static,
    database_for_others,
    host,
    wait_until_open,
)

pytestmark = pytest.mark.django_db(transaction=True)

PASSWORD = "zzpassword of the shop"
FAMILY = "Zzfamily"
Two = tuple[Running, Running]


@pytest.fixture
def fitting() -> Any:
    """A fitting of somebody who agrees to photographs, and two fitters who sign in by password."""
    kept = PBKDF2PasswordHasher().encode(PASSWORD, "salt", 1000)
    for name in ("zzines", "zzother"):
        UserFactory(username=name, role=Role.FITTER, password=kept)
    customer = CustomerFactory(family_name=FAMILY, fitting_photo_consent_on=dt.date(2026, 1, 5))
    return FittingFactory(order__customer=customer)


@pytest.fixture
def two(fitting: Any, store: dict[str, str], empty_bucket: Any, tmp_path: Path) -> Iterator[Two]:
    shared = {
        "DATABASE_URL": database_for_others(tmp_path),
        "TAILORSHOP_STATIC": str(tmp_path / "static"),
        **store,
    }
    collect_static(tmp_path, shared)
    with host("one", tmp_path, shared) as one, host("other", tmp_path, shared) as other:
        for each in (one, other):
            wait_until_open(each)
        yield one, other


def sign_in(visitor: Visitor, at: Running, name: str, password: str = PASSWORD) -> Any:
    return visitor.post(at, reverse("sign-in"), {"login": name, "password": password})


def send_photograph(visitor: Visitor, at: Running, fitting: Any) -> requests.Response:
    return visitor.post(
        at,
        reverse("photograph-new", args=[fitting.pk]),
        {"shows": "front", "identity": str(uuid.uuid4())},
        form=reverse("fitting", args=[fitting.pk]),
        files={"photograph": ("zzfile.jpg", file(quartered()))},
    )


def test_what_is_begun_at_one_host_goes_on_at_the_other(fitting: Any, two: Two) -> None:
    one, other = two
    visitor = Visitor()
    assert sign_in(visitor, one, "zzines").url == one.address + reverse("today")
    page = visitor.get(other, reverse("customer", args=[fitting.order.customer_id]))
    assert page.status_code == 200, "signed in here too"
    assert FAMILY in page.text

    assert send_photograph(visitor, one, fitting).status_code == 200
    page = visitor.get(other, reverse("fitting", args=[fitting.pk]))
    found = re.search(r'src="(/fittings/photographs/[^"]+)"', page.text)
    assert found, "the photograph stands on the page of the other host"
    picture = visitor.get(other, found[1])
    assert Image.open(io.BytesIO(picture.content)).format == "JPEG"

    visitor.post(other, reverse("sign-out"), {}, form=reverse("today"))
    gone = visitor.get(one, reverse("today"))
    assert gone.url.startswith(one.address + reverse("sign-in")), "signed out at both"

    for tried in range(5):
        sign_in(Visitor(), two[tried % 2], "zzother", "zzwrong password")
    answer = sign_in(Visitor(), other, "zzother")
    assert "Too many" in answer.text, "wrong tries at one host count at the other"
    _nothing_typed_is_in(one.written + other.written)


def _nothing_typed_is_in(written: str) -> None:
    lines = [json.loads(line) for line in written.splitlines()]
    pages = {line.get("page") for line in lines}
    assert {"sign-in", "customer", "photograph-new"} <= pages
    assert "zz" not in re.sub(r"[0-9a-f]{32}", "", written.lower())
