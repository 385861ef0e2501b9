"""Photographs that go to the workroom: fixed with the paper at its issue, as all else on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fittings.models import Fitting, Photograph, Ticket
from fittings.photographs.keeping import keep
from fittings.photographs.marked import burnt_copy
from fittings.photographs.taking import as_kept
from fittings.refusals import Refused


def attached(fitting: Fitting) -> dict[str, Any]:
    """What a ticket's content says of the photographs that go with it; {} where none does.

    Each has its own kept file, the marks drawn in, named by `sha256`: what is marked, turned or
    taken back later does not change what the workroom was given.
    """
    if fitting.order.customer.fitting_photo_consent_on is None:
        return {}
    rows = fitting.photographs.standing().for_workroom()
    found = [content for row in rows if (content := _content(row)) is not None]
    return {"photographs": found} if found else {}


def _content(photograph: Photograph) -> dict[str, Any] | None:
    try:
        kept = as_kept(burnt_copy(photograph))
    except Refused:  # its file is no longer kept
        return None
    return {
        "id": str(photograph.pk),
        "sha256": keep(kept),
        "side": photograph.side,
        "words": str(photograph),
        "caption": photograph.note,
        "width": kept.width,
        "height": kept.height,
    }


def photographs_of(ticket: Ticket) -> list[dict[str, Any]]:
    """The photographs of a ticket, none while the customer does not agree to them."""
    if ticket.order.customer.fitting_photo_consent_on is None:
        return []
    return list(ticket.content.get("photographs", ()))


def are_withheld(ticket: Ticket) -> bool:
    """Whether photographs were issued with this ticket that the customer no longer agrees to."""
    issued: Mapping[str, Any] = ticket.content
    return bool(issued.get("photographs")) and not photographs_of(ticket)
