"""What the fittings of the invented shop must heed of health: two customers told of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from fittings.models import Customer, HealthNote

if TYPE_CHECKING:
    from tailorshop.models import User

# By family name: the words, and how many days ago they were said.
HEEDED: Final = (
    ("Fenwharf", "Wears a pacemaker on the left: no magnets, no pins through to the lining.", 90),
    ("Wrenfold", "Cannot lift the right arm above the shoulder: help with the coat.", 40),
)


def note(staff: Mapping[str, User], today: dt.date) -> None:
    for family, words, ago in HEEDED:
        day = today - dt.timedelta(days=ago)
        customer = Customer.objects.get(family_name=family)
        customer.health_consent_on = day
        customer.save_over(customer.version)
        HealthNote.objects.create(
            customer=customer, words=words, noted_on=day, noted_by=staff["ines"]
        )
