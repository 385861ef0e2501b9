"""The files of photographs that are destroyed for good, as the customer may ask."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any

from django.db import transaction

from fittings.models import Customer, Photograph, Ticket
from fittings.photographs.keeping import erase


def files_of(customer: Customer, photographs: Iterable[Any]) -> set[str]:
    """Every file that was ever kept of them: turned ones, and the copies that tickets carry."""
    kept = _history().filter(id__in=photographs).values_list("sha256", flat=True)
    contents = Ticket.objects.filter(order__customer=customer).values_list("content", flat=True)
    issued = {said["sha256"] for content in contents for said in content.get("photographs", ())}
    return set(kept) | issued


def erase_files(customer: Customer, digests: set[str]) -> None:
    """Erase them once the record is written. One that another customer's photograph or paper holds
    too, of two who stand on one picture, is left. Call it in the transaction that deletes the rows,
    after their history is forgotten."""
    held = set(_history().filter(sha256__in=digests).values_list("sha256", flat=True))
    for sha256 in digests - held - (_on_papers_of_others(customer) if digests else set()):
        transaction.on_commit(partial(erase, sha256))


def _on_papers_of_others(customer: Customer) -> set[str]:
    papers = Ticket.objects.exclude(order__customer=customer)
    papers = papers.filter(content__has_key="photographs").order_by()
    shown = papers.values_list("content__photographs", flat=True)
    return {said["sha256"] for photographs in shown.iterator() for said in photographs}


def _history() -> Any:
    history: Any = Photograph.history
    return history
