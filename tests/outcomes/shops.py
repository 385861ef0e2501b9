"""A shop whose truth is known, as rows of the record."""

import datetime as dt
import uuid

import numpy as np
from django.utils import timezone

from fittings.models import Decision, Fitting, Need, Outcome
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory, TicketFactory

SIGMA_MM = 0.7


def shop_with_outcomes(*, coats: int, share: float, seed: int = 4) -> None:
    """So many coats, both sleeves turned and read again; `share` of each turn came."""
    rng = np.random.default_rng(seed)
    version = PatternVersionFactory()
    for _ in range(coats):
        order = OrderFactory(pattern_version=version)
        signed = {"order": order, "pattern_version": version, "signed_at": timezone.now()}
        first = FittingFactory(held_on=dt.date(2026, 2, 1), **signed)
        then = FittingFactory(held_on=dt.date(2026, 3, 1), **signed)
        TicketFactory(fitting=first)
        for side in ("left", "right"):
            need = rng.normal(8.0, 3.0)
            read = float(need + rng.normal(0.0, SIGMA_MM))
            after = float(need - share * read + rng.normal(0.0, SIGMA_MM))
            _rows(first, then, side, read, after)


def _rows(first: Fitting, then: Fitting, side: str, read: float, after: float) -> None:
    plain = {"side": side, "rule": "pitch", "sigma_mm": SIGMA_MM, "measured": True}
    Need.objects.create(fitting=first, need_mm=read, first=True, **plain)
    later = Need.objects.create(fitting=then, need_mm=after, first=False, **plain)
    decision = Decision.objects.create(
        id=uuid.uuid4(),
        fitting=first,
        side=side,
        key="pitch:pitch",
        proposal={"shift_mm": read, "sigma_mm": SIGMA_MM},
        outcome={"shift_mm": read},
        verdict="accepted",
        decided_at=timezone.now(),
        decided_by=first.fitter,
    )
    Outcome.objects.create(
        decision=decision,
        need=later,
        before_mm=read,
        before_sigma_mm=SIGMA_MM,
        worked_mm=read,
        after_mm=after,
        after_sigma_mm=SIGMA_MM,
    )
