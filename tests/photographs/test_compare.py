"""Two photographs of one customer: side by side, one over the other, their angles beside."""

import datetime as dt
import re
from typing import Any

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fittings.models import Photograph
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import FittingFactory
from tests.photographs.wearer import ARM, HIGH, SLEEVE, WIDE, measure, photograph_of


@pytest.fixture
def client(fitter: Signed) -> Client:
    return fitter[0]


@pytest.fixture
def pair(fitter: Signed) -> tuple[Photograph, Photograph]:
    """Of the same customer at two fittings, the second a month later."""
    before = FittingFactory(fitter=fitter[1], held_on=dt.date(2026, 2, 2))
    after = FittingFactory(fitter=fitter[1], order=before.order, held_on=dt.date(2026, 3, 2))
    return (
        photograph_of(before, fitter[1], days_ago=30),
        photograph_of(after, fitter[1], shade=90),
    )


def page(client: Client, one: Photograph, **asked: Any) -> Any:
    return client.get(reverse("photograph-compare", args=[one.pk]), asked)


# --- nothing to compare


def test_alone_there_is_nothing_to_compare_with_and_the_page_says_so(
    client: Client, fitter: Signed
) -> None:
    one = photograph_of(FittingFactory(), fitter[1])
    assert "no other photograph" in page(client, one).content.decode()


def test_untouched_they_are_not_laid_over_each_other_and_the_page_says_what_to_touch(
    client: Client, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    shown = page(client, one, **{"with": other.pk, "how": "over"}).content.decode()
    assert "touch the same arm on both" in shown
    assert 'id="later"' not in shown


def test_one_common_place_is_not_enough_to_lay_them_over_each_other(
    client: Client, pair: tuple[Photograph, Photograph]
) -> None:
    """The arm of the left on one, of the right on the other: no place is common."""
    one, other = pair
    Photograph.objects.filter(pk=other.pk).update(side="right")
    measure(client, one, ARM)
    measure(client, Photograph.objects.get(pk=other.pk), ARM)
    shown = page(client, one, **{"with": other.pk, "how": "over"}).content.decode()
    assert 'id="later"' not in shown


# --- with which one


def test_only_photographs_of_the_same_customer_that_stand_are_offered(
    client: Client, fitter: Signed, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    stranger = photograph_of(FittingFactory(), fitter[1])
    gone = photograph_of(one.fitting, fitter[1])
    Photograph.objects.filter(pk=gone.pk).update(removed_at=timezone.now())
    shown = page(client, one).content.decode()
    assert f"?with={other.pk}" in shown
    for not_offered in (stranger, gone, one):
        assert f"?with={not_offered.pk}" not in shown
        assert page(client, one, **{"with": not_offered.pk}).status_code == 404


@pytest.mark.parametrize("asked", ["x", "0", "'; drop"])
def test_what_is_no_photograph_is_not_there(
    client: Client, pair: tuple[Photograph, Photograph], asked: str
) -> None:
    assert page(client, pair[0], **{"with": asked}).status_code == 404


def test_those_seen_from_the_same_place_come_first_and_the_rest_is_paged(
    client: Client, fitter: Signed, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    for _ in range(13):
        photograph_of(one.fitting, fitter[1], "back")
    shown = page(client, one).content.decode()
    links = re.findall(r"\?with=([0-9a-f-]+)", shown)
    assert len(links) == 12
    assert links[0] == str(other.pk)
    assert "?page=2" in shown


# --- compared


def test_side_by_side_the_earlier_comes_first_whichever_was_opened(
    client: Client, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    for opened, against in ((one, other), (other, one)):
        shown = page(client, opened, **{"with": against.pk}).content.decode()
        first, second = re.findall(r'<figure.*?<img src="([^"]+)"', shown, re.S)
        assert (first, second) == (one.get_absolute_url(), other.get_absolute_url())


def test_the_later_one_is_laid_so_that_its_touches_lie_on_the_earlier_ones(
    client: Client, pair: tuple[Photograph, Photograph]
) -> None:
    """The later is the earlier drawn smaller and shifted: every touch must come to lie on its own.
    The page's matrix is applied by numpy."""
    one, other = pair
    touches = ARM | SLEEVE
    moved = {
        name: (round(0.8 * x + 12, 2), round(0.8 * y + 4, 2)) for name, (x, y) in touches.items()
    }
    measure(client, one, touches)
    measure(client, other, moved)
    shown = page(client, one, **{"with": other.pk, "how": "over", "shown": "70"}).content.decode()
    found = re.search(r'transform="matrix\(([^)]+)\)" opacity="70%"', shown)
    assert found
    a, b, c, d, e, f = map(float, found[1].split())
    size = np.array([WIDE, HIGH]) / 100
    for name, place in touches.items():
        laid = np.array([[a, c], [b, d]]) @ (np.array(moved[name]) * size) + [e, f]
        assert laid == pytest.approx(np.array(place) * size, abs=0.1)


def test_a_change_is_said_with_its_noise_and_one_within_it_is_called_so(
    client: Client, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    measure(client, one, ARM | SLEEVE)
    # The sleeve now hangs with the arm.
    follows = {name.replace("arm", "sleeve"): place for name, place in ARM.items()}
    measure(client, other, ARM | follows)
    shown = page(client, one, **{"with": other.pk}).content.decode()
    rows = dict(re.findall(r'<th scope="row">([^<]+)</th>(.*?)</tr>', shown, re.S))
    assert "within the noise" in rows["Arm"]
    assert "10.6°" in rows["Arm against sleeve"]
    assert "within the noise" not in rows["Arm against sleeve"]


def test_angles_from_the_side_and_from_behind_are_not_subtracted(
    client: Client, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    Photograph.objects.filter(pk=other.pk).update(view="back")
    measure(client, one, ARM)
    measure(client, Photograph.objects.get(pk=other.pk), ARM)
    shown = page(client, one, **{"with": other.pk}).content.decode()
    assert shown.count("not known") == 4


def test_comparing_asks_the_database_no_more_when_there_are_many(
    client: Client, fitter: Signed, pair: tuple[Photograph, Photograph]
) -> None:
    one, other = pair
    measure(client, one, ARM)
    choosing = queries(lambda: page(client, one))
    comparing = queries(lambda: page(client, one, **{"with": other.pk}))
    for _ in range(6):
        photograph_of(one.fitting, fitter[1])
        measure(client, one, ARM)
    assert queries(lambda: page(client, one)) == choosing
    assert queries(lambda: page(client, one, **{"with": other.pk})) == comparing
