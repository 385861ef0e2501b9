"""What the part of the fitting page with the photographs shows."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from typing import Any

from django.core.paginator import Page, Paginator

from fittings.consents import BY_KEY, Standing, standing
from fittings.models import Fitting, Photograph
from fittings.photographs.record import (
    SHOWS,
    Shows,
    check_can_change,
    check_can_photograph,
    shows_of,
)
from fittings.refusals import Refused

PER_PAGE = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One photograph; `frozen` says why it cannot be changed, "" where it can."""

    photograph: Photograph
    shows: Shows | None
    frozen: str

    @property
    def anchor(self) -> str:
        return f"photograph-{self.photograph.pk}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """`refusal` says why the camera is off; `hidden` how many photographs are then not shown."""

    fitting: Fitting
    refusal: str
    consents: list[Standing]
    page: Page[Any]
    cards: list[Card]
    hidden: int = 0
    # Of the plain form, so that one sent twice is kept once; the script makes one for each file.
    identity: uuid.UUID = field(default_factory=uuid.uuid4)
    choices: tuple[Shows, ...] = field(default=SHOWS)

    @property
    def asked(self) -> Standing:
        """How the consent to photographs to fit by stands."""
        return next(s for s in self.consents if s.consent == BY_KEY["photographs"])


def shown_of(fitting: Fitting, page: str | int = 1) -> Shown:
    """Newest first, a page at a time; nothing while there is no consent. Five queries at most."""
    customer = fitting.order.customer
    refusal = _sentence(check_can_photograph, customer)
    rows = fitting.photographs.select_related("made_by", "removed_by")
    rows = rows.order_by("-taken_at", "-received_at", "pk")
    paged = Paginator(rows.none() if refusal else rows, PER_PAGE).get_page(page)
    for photograph in paged:
        photograph.fitting = fitting
    return Shown(
        fitting=fitting,
        refusal=refusal,
        consents=standing(customer),
        page=paged,
        cards=[
            Card(photograph=one, shows=shows_of(one), frozen=_sentence(check_can_change, one))
            for one in paged
        ],
        hidden=rows.count() if refusal else 0,
    )


def _sentence(check: Any, row: Any) -> str:
    try:
        check(row)
    except Refused as refusal:
        return str(refusal)
    return ""
