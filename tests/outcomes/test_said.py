"""How an outcome is said, and where it stands."""

import pytest
from django.urls import reverse

from fittings.models import Outcome
from fittings.outcomes.said import came_said
from tests.conftest import Signed
from tests.outcomes.test_record import fitted, order
from tests.ticket.worked import cuff


def outcome(after_mm: float, *, sigma_mm: float = 0.8, before_mm: float = 9.0) -> Outcome:
    return Outcome(
        before_mm=before_mm,
        before_sigma_mm=sigma_mm,
        worked_mm=before_mm,
        after_mm=after_mm,
        after_sigma_mm=sigma_mm,
    )


def test_all_that_was_predicted_is_said_as_all_of_it() -> None:
    assert came_said(outcome(0.1), "mm").startswith("At the next fitting: all of 9 mm came")


def test_a_shortfall_within_the_noise_says_so_because_it_may_be_none() -> None:
    said = came_said(outcome(1.5), "cm")
    # Two readings of 0.8 mm: 1.13 mm, twice that 2.3 mm.
    assert (
        said == "At the next fitting: 1.5 mm short of 9 mm, within the noise (give or take 2.3 mm)."
    )


def test_a_turn_back_that_went_too_far_is_more_than_predicted() -> None:
    said = came_said(outcome(3.0, before_mm=-9.0), "mm")
    assert "3 mm more than 9 mm, more than the noise" in said


def test_inches_are_said_to_who_reads_inches() -> None:
    assert "1/8 in short of 3/8 in" in came_said(outcome(3.2), "in")


@pytest.mark.django_db
def test_what_came_stands_on_the_fitting_the_ticket_and_the_patterns(fitter: Signed) -> None:
    client, _ = fitter
    of = order()
    first = fitted(of, 0, ("left", cuff(63)))
    fitted(of, 14, ("left", cuff(31.4)))
    ticket = first.tickets.get()
    # 31.4 / 600 is 3 degrees, 4 mm: half of 8 mm.
    for address in (
        f"{first.get_absolute_url()}?part=sleeves",
        ticket.get_absolute_url(),
        reverse("customer-patterns", args=[of.customer_id]),
    ):
        page = client.get(address).content.decode()
        assert "4 mm short of 8 mm, more than the noise" in page, address
