"""Photographs destroyed for good, as the customer may ask: rows, marks, history and files."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.db import transaction

from fittings.models import Customer, Photograph, PhotographMark, Ticket
from fittings.photographs.keeping import erase


def erase_photographs(customer: Customer) -> int:
    """Destroy all photographs of a customer; returns how many.

    The papers issued keep their words and say that the photograph is no longer kept. A file that
    another customer's photograph holds too is left; files go only once the record is written.
    """
    with transaction.atomic():
        rows = Photograph.objects.filter(fitting__order__customer=customer)
        identities = list(rows.values_list("pk", flat=True))
        named = _files_of(customer, identities)
        rows.delete()
        _history(PhotographMark).filter(photograph_id__in=identities).delete()
        _history(Photograph).filter(id__in=identities).delete()
        held = _history(Photograph).filter(sha256__in=named).values_list("sha256", flat=True)
        for sha256 in named - set(held):
            transaction.on_commit(partial(erase, sha256))
    return len(identities)


def _files_of(customer: Customer, identities: list[Any]) -> set[str]:
    """Every file that was ever kept of them: turned ones, and the copies that tickets carry."""
    kept = _history(Photograph).filter(id__in=identities).values_list("sha256", flat=True)
    contents = Ticket.objects.filter(order__customer=customer).values_list("content", flat=True)
    issued = {said["sha256"] for content in contents for said in content.get("photographs", ())}
    return set(kept) | issued


def _history(model: Any) -> Any:
    return model.history
