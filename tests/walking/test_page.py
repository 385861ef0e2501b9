"""The page on which a version is walked: both sides, a badge in words, what is new."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from patterns.models import PatternVersion
from tests.conftest import Signed
from tests.factories import PatternVersionFactory, sides
from tests.fitting.conftest import text

pytestmark = pytest.mark.django_db


def page(client: Client, version: PatternVersion) -> Any:
    return client.get(reverse("pattern-check", args=[version.pattern_id, version.number]))


def high_crown() -> dict[str, Any]:
    """The right side's crown 40 mm higher than the armhole can take."""
    spoiled = sides()
    spoiled["right"]["sleeve"] |= {"crown_height_mm": 200, "length_mm": 680}
    return spoiled


def test_sound_version_holds_on_both_sides(workroom: Signed) -> None:
    answer = page(workroom[0], PatternVersionFactory())
    said = text(answer)
    assert "Every check holds on both sides" in said
    assert "look here" not in said
    assert "Wearer's left" in said
    assert "Wearer's right" in said
    assert said.count("holds") > 40


def test_fault_of_one_side_is_told_on_that_side_with_its_sentence(workroom: Signed) -> None:
    said = text(page(workroom[0], PatternVersionFactory(sides=high_crown())))
    assert "1 check does not hold" in said
    assert said.count("look here") == 1
    row = said[said.index("head against armhole, over the crown") :]
    assert row.index("holds") < row.index("look here") < row.index("lower the crown")


def test_fault_that_is_new_in_this_version_is_called_new(workroom: Signed) -> None:
    first = PatternVersionFactory()
    new = PatternVersionFactory(pattern=first.pattern, number=2, parent=first, sides=high_crown())
    old = PatternVersionFactory(pattern=first.pattern, number=3, parent=new, sides=high_crown())
    assert "It held in version 1." in text(page(workroom[0], new))
    assert "It held in" not in text(page(workroom[0], old))


def test_side_that_cannot_be_drafted_is_said_and_the_other_is_walked(workroom: Signed) -> None:
    broken = sides()
    broken["left"]["sleeve"]["girth_mm"]["biceps"] = 900
    said = text(page(workroom[0], PatternVersionFactory(sides=broken)))
    assert "cannot be set into an armhole" in said
    assert "not walked" in said
    assert said.count("holds") > 20


def test_version_that_is_not_there_is_not_found(workroom: Signed) -> None:
    version = PatternVersionFactory()
    address = reverse("pattern-check", args=[version.pattern_id, 9])
    assert workroom[0].get(address).status_code == 404


def test_page_asks_the_database_no_more_for_more_checks(
    workroom: Signed, django_assert_max_num_queries: Any
) -> None:
    version = PatternVersionFactory()
    with django_assert_max_num_queries(4):
        page(workroom[0], version)
