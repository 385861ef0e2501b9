"""Addresses that no page offers: parts of them spoiled, and questions that no page asks.

Run longer with HOSTILE_EXAMPLES=200 (examples for each address).
"""

from typing import Any, Final
from urllib.parse import parse_qsl, quote, urlsplit

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from tests.hostile.conftest import Shop
from tests.hostile.pages import Seen
from tests.hostile.test_forms import at_random, encoded, look, told
from tests.hostile.values import words

pytestmark = pytest.mark.django_db

# Names that pages of the shop read from the question part, and some that none does.
ASKED: Final = ("page", "q", "sort", "order", "at", "maker", "state", "unit", "next", "identity")
PARTS: Final = st.one_of(
    st.sampled_from(
        (
            "0",
            "9" * 9,
            str(2**31),
            str(2**63),
            "9" * 30,
            "9" * 5000,
            "-1",
            "..",
            "..%2f..%2fetc%2fpasswd",
            "%00",
            "%ff%fe",
            "%ed%a0%80",
            "00000000-0000-0000-0000-000000000000",
            "it",
            "T-0001",
        )
    ),
    words.map(lambda word: quote(word.encode("utf-8", "surrogatepass"), safe="")),
)


@st.composite
def spoiled(draw: Any, address: str) -> str:
    """The address with one part of its path, or one to three of its questions, made up."""
    split = urlsplit(address)
    parts, asked = split.path.split("/"), parse_qsl(split.query, keep_blank_values=True)
    filled = [place for place, part in enumerate(parts) if part]
    if filled and draw(st.booleans()):
        parts[draw(st.sampled_from(filled))] = draw(PARTS)
        return "/".join(parts)
    for _ in range(draw(st.integers(1, 3))):
        name = draw(st.sampled_from([*(name for name, _ in asked), *ASKED]))
        asked = [pair for pair in asked if pair[0] != name]
        asked.append((name, draw(words)))
    return f"{split.path}?{encoded(asked)}"


def one_of_each(pages: dict[str, Seen]) -> dict[str, str]:
    """An address for every page, the one that asks most."""
    longest: dict[str, str] = {}
    for at, seen in pages.items():
        if len(at) > len(longest.get(seen.name, "")):
            longest[seen.name] = at
    return longest


def fault_of(client: Client, address: str) -> Exception | None:
    @at_random
    @given(at=spoiled(address))
    def tried(at: str) -> None:
        look(client.get(at))

    try:
        tried()
    except Exception as fault:
        return fault
    return None


def test_every_address_answers_whatever_is_written_into_it(shop: Shop) -> None:
    faults = {
        told(fault): f"{address} {getattr(fault, '__notes__', '')!s:.700}"
        for address in one_of_each(shop.pages).values()
        if (fault := fault_of(shop.client, address))
    }
    assert not faults, "\n\n".join(f"{what}\n{where}" for what, where in faults.items())
