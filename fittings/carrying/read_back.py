"""What came in is read as the pages will read it: no page may break on it afterwards."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from fittings.fitting_room.proposals import every_side
from fittings.fitting_room.said import entry_said
from fittings.models import Customer, Fitting, Photograph, Ticket
from fittings.paper.sheets import sheets
from fittings.photographs.keeping import name_of
from fittings.photographs.marking import drawn
from fittings.refusals import Refused
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.shown import changes, numbers

UNIT: Final = "mm"
_UNREADABLE: Final = (TypeError, ValueError, LookupError, AttributeError, ArithmeticError)


def check_reads(customer: Customer, versions: list[PatternVersion]) -> None:
    """Refuses (Refused) what says nothing that the shop can read, and names where it stands."""
    for where, look in _looks(customer, versions):
        try:
            look()
        except GeometryRefused:
            continue  # that a version cannot be drawn any more is told on its page
        except _UNREADABLE:
            raise Refused(
                f"The record is damaged: {where} cannot be read. Nothing was brought in."
            ) from None


def _looks(
    customer: Customer, versions: list[PatternVersion]
) -> Iterator[tuple[str, Callable[[], object]]]:
    for version in versions:
        yield "a version of a pattern", partial(numbers, version)
        yield "a version of a pattern", partial(changes, version)
    for fitting in Fitting.objects.filter(order__customer=customer):
        yield "what was seen or decided at a fitting", partial(_read_fitting, fitting)
    for photograph in Photograph.objects.filter(fitting__order__customer=customer):
        yield "a photograph", partial(name_of, photograph.sha256)
        yield "a mark on a photograph", partial(drawn, photograph, photograph.marks.all())
    for ticket in Ticket.objects.filter(order__customer=customer).select_related("supersedes"):
        yield "a ticket", partial(_read_ticket, ticket)


def _read_fitting(fitting: Fitting) -> None:
    every_side(fitting)
    for entry in fitting.entries.all():
        entry_said(entry, UNIT)
    for decision in fitting.decisions.all():
        str((decision.outcome or decision.proposal)["title"])


def _read_ticket(ticket: Ticket) -> None:
    sheets(ticket.content, UNIT, ticket.last_content)
    for line in ticket.lines.all():
        line.content.get("title")
