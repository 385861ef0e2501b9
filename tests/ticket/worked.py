"""Tickets as a shop issues them: read, decided, signed, issued."""

import datetime as dt
import re
from collections.abc import Sequence
from typing import Any

import pypdfium2
from django.utils import timezone

from fittings.fitting_room.decisions import decide, sign
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.proposals import both_sides
from fittings.models import Fitting, Ticket
from fittings.ticketing.issuing import issue
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    OrderFactory,
    PatternVersionFactory,
    UserFactory,
)

Read = tuple[str, dict[str, Any]]

SETTLED = [{"check": "balance", "state": "settled"}, {"check": "shoulders", "state": "settled"}]


def cuff(offset_mm: float) -> dict[str, Any]:
    """The arm stands so far forward of the cuff, 600 mm below the armhole."""
    return {"what": "pitch", "cuff_offset_mm": offset_mm, "drop_mm": 600}


LEFT_FORWARD: list[Read] = [("left", cuff(63))]  # atan(63 / 600) = 6 degrees, 8 mm of 480
RIGHT_BACK: list[Read] = [("right", cuff(-63))]


def signed_fitting(
    readings: Sequence[Read],
    *,
    inlays: Sequence[tuple[str, str, float]] = (),
    settled: bool = True,
) -> Fitting:
    """A signed fitting at which every proposal was accepted."""
    fitter = UserFactory(first_name="Nora", last_name="Becker")
    order = OrderFactory(
        customer=CustomerFactory(given_name="Jan", family_name="Černý"),
        pattern_version=PatternVersionFactory(),
        promised_on=dt.date(2026, 3, 6),
        style="two buttons",
        maker=UserFactory(first_name="Piet", last_name="Maas"),
    )
    for side, place, mm in inlays:
        order.inlays.create(side=side, place=place, as_cut_mm=mm, left_mm=mm)
    fitting = FittingFactory(order=order, fitter=fitter)
    at = timezone.now()
    checks = SETTLED if settled else []
    for side in ("", "left", "right"):
        for check in checks:
            add_entry(fitting, side=side, kind="check", data=check, by=fitter, made_at=at)
    for side, reading in readings:
        add_entry(fitting, side=side, kind="reading", data=reading, by=fitter, made_at=at)
    for one in both_sides(fitting):
        for proposed in one.proposed:
            decide(
                fitting,
                side=one.side,
                key=proposed.correction.key,
                verdict="accepted",
                by=fitter,
                at=at,
            )
    fitting.refresh_from_db()
    sign(fitting, by=fitter, at=at)
    return fitting


def issued(readings: Sequence[Read], **how: Any) -> Ticket:
    fitting = signed_fitting(readings, **how)
    return issue(fitting, by=fitting.fitter, at=timezone.now())


def pages_of(pdf: bytes) -> list[str]:
    """The words of each page on one line, in the order in which they were set."""
    texts = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]
    return [re.sub(r"\s+", " ", text) for text in texts]


def words_of(pdf: bytes) -> str:
    return " ".join(pages_of(pdf))
