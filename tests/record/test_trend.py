"""Several sets of measures beside each other, and their trend."""

import datetime as dt
import re
from typing import Any

import pytest
from django.urls import reverse

from fittings.models import Customer, MeasurementSet
from tests.conftest import Signed
from tests.factories import CustomerFactory, MeasurementSetFactory


def taken(customer: Customer, year: int, **girths: list[str]) -> MeasurementSet:
    """A set of this year; each measure as many times as it has values, in mm."""
    row: MeasurementSet = MeasurementSetFactory(customer=customer, taken_on=dt.date(year, 3, 1))
    for name, values in girths.items():
        for repeat, value in enumerate(values, start=1):
            row.measurements.create(
                name=name, repeat=repeat, value_mm=value, as_entered=value, unit="mm"
            )
    return row


def page(fitter: Signed, name: str, customer: Customer) -> Any:
    return fitter[0].get(reverse(name, args=[customer.pk]))


def test_one_set_has_a_table_and_no_trend(fitter: Signed) -> None:
    customer = CustomerFactory()
    taken(customer, 2024, waist_girth=["900"])
    said = page(fitter, "measures-trend", customer).content.decode()
    assert "A trend is drawn when" in said
    assert "taken once" in said
    assert page(fitter, "measures-plot", customer).status_code == 404


def test_change_is_told_from_the_first_to_the_last_by_the_means(fitter: Signed) -> None:
    fitter[1].units = "mm"
    fitter[1].save()
    customer = CustomerFactory()
    taken(customer, 2020, waist_girth=["900", "904"], hip_girth=["1000"])
    taken(customer, 2022, waist_girth=["910"])
    taken(customer, 2024, waist_girth=["932"], hip_girth=["1000"])
    answer = page(fitter, "measures-trend", customer)
    # by hand: the mean of 900 and 904 is 902; 932 is 30 more
    told = {row.label: (row.change, len(row.means_mm)) for row in answer.context["rows"]}
    assert told == {"Waist girth": ("30 mm more", 3), "Hip girth": ("the same", 3)}
    assert "not taken" in answer.content.decode()


def test_plot_is_an_image_of_its_own_that_no_browser_keeps(fitter: Signed) -> None:
    customer = CustomerFactory()
    taken(customer, 2020, waist_girth=["900"])
    taken(customer, 2024, waist_girth=["930"])
    answer = page(fitter, "measures-plot", customer)
    assert answer["Content-Type"] == "image/svg+xml"
    assert b"<svg" in answer.content
    assert answer.content.rstrip().endswith(b"</svg>")
    assert answer["Cache-Control"] == "private, no-store"


@pytest.mark.parametrize(("narrow", "shown_px", "screen_px"), [("", 608, 640), ("1", 355, 390)])
def test_letters_of_the_plot_are_readable_where_it_is_shown(
    fitter: Signed, narrow: str, shown_px: int, screen_px: int
) -> None:
    """At least 12 CSS px: the plot is drawn in points of 1/72 in, a CSS px is 1/96 in (CSS Values
    3, section 5.2), and shown as wide as the page leaves it (32 px of margins)."""
    customer = CustomerFactory()
    for year in (2018, 2020, 2022, 2024):
        taken(customer, year, waist_girth=["900"], chest_girth=[str(1000 + year - 2018)])
    address = reverse("measures-plot", args=[customer.pk])
    drawn = fitter[0].get(address, {"narrow": narrow} if narrow else {}).content.decode()
    width = re.search(r'<svg[^>]* width="([\d.]+)pt"', drawn)
    assert width
    assert shown_px <= screen_px - 32
    letters = [float(scale) for scale in re.findall(r"scale\(([\d.]+) -", drawn)]
    assert letters
    # A glyph is drawn in units of a hundredth of the letter's size.
    px = [100 * scale * shown_px / float(width[1]) for scale in letters]
    assert min(px) >= 12


def test_table_asks_the_database_as_often_with_many_sets(
    fitter: Signed, django_assert_max_num_queries: Any
) -> None:
    customer = CustomerFactory()
    counts = []
    for year in range(2015, 2024):
        taken(customer, year, waist_girth=["900"])
        with django_assert_max_num_queries(6) as asked:
            page(fitter, "measures-trend", customer)
        counts.append(len(asked))
    assert counts[0] == counts[-1]
