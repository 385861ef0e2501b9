"""The workroom sees what a ticket needs: nothing by which a customer is reached or described."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fittings.models import Customer
from tests.test_roles import OPEN_TO_ALL, WORKROOM_TOO, addresses  # noqa: F401

MARKED = {
    "phone": "0100-MARKEDPHONE",
    "email": "markedmail@example.invalid",
    "address": "MARKEDADDRESS 3",
    "notes": "MARKEDNOTES",
}
FAMILY = "Markedfamily"


def pages(client: Client, addresses: dict[str, str]) -> dict[str, str]:  # noqa: F811
    """What each page the workroom may open answers, in words."""
    found = {}
    for name in sorted(WORKROOM_TOO | OPEN_TO_ALL):
        answer = client.get(addresses[name])
        if answer.status_code == 200 and "text/" in answer["Content-Type"]:
            found[name] = b"".join(answer).decode()
    return found


@pytest.mark.django_db
def test_no_page_of_the_workroom_says_how_a_customer_is_reached(
    addresses: dict[str, str],  # noqa: F811
    workroom: tuple[Client, Any],
    owner: tuple[Client, Any],
) -> None:
    for row in Customer.objects.all():
        for field, value in (MARKED | {"family_name": FAMILY}).items():
            setattr(row, field, value)
        row.save()
    seen = pages(workroom[0], addresses)
    assert {"today", "bench", "ticket", "ticket-list", "pattern", "search"} <= set(seen)
    told = {
        (name, mark) for name, words in seen.items() for mark in MARKED.values() if mark in words
    }
    assert told == set()
    # The same marks are found where they may be.
    anybody = owner[0].get(reverse("customer", args=[Customer.objects.first().pk]))  # type: ignore[union-attr]
    assert all(mark in anybody.content.decode() for mark in MARKED.values())


@pytest.mark.django_db
@pytest.mark.parametrize("field", ["phone", "email", "family_name"])
def test_the_workroom_finds_no_customer_by_what_it_may_not_see(
    field: str,
    addresses: dict[str, str],  # noqa: F811
    workroom: tuple[Client, Any],
) -> None:
    row = Customer.objects.all()[0]
    mark = (MARKED | {"family_name": FAMILY})[field]
    setattr(row, field, mark)
    row.save()
    answer = workroom[0].get(reverse("search"), {"q": mark}).content.decode()
    assert reverse("customer", args=[row.pk]) not in answer
    assert row.number not in answer
