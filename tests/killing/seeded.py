"""The shop that is killed: a signed-in fitter, and something to do of every kind."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any, Final

from django.test import Client

from tailorshop.models import Role
from tests.factories import FittingFactory, PatternVersionFactory, UserFactory
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued, signed_fitting

TO_ISSUE: Final = 12


def seed() -> dict[str, Any]:
    """Fills the test's database; says by which keys a client finds what there is to do."""
    user = UserFactory(role=Role.OWNER, units="mm")
    browser = Client()
    browser.force_login(user)
    agreed = dt.date(2026, 1, 5)
    fitting = FittingFactory(
        order__pattern_version=PatternVersionFactory(),
        order__customer__fitting_photo_consent_on=agreed,
    )
    readings = [*LEFT_FORWARD, *RIGHT_BACK]
    return {
        "session": browser.cookies["sessionid"].value,
        "fitting": fitting.pk,
        "pattern": PatternVersionFactory().pattern_id,
        "ticket": issued(readings).get_absolute_url(),
        "to_issue": [signed_fitting(readings).pk for _ in range(TO_ISSUE)],
    }


def main() -> None:
    """For a shop of its own, as a program."""
    print(json.dumps(seed()))
