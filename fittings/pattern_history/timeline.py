"""Every version of every pattern of a customer, newest first, with what caused it.

A pattern is a customer's when a garment of theirs was cut from it, ticketed on it or fitted by it,
or when it is a branch of such a pattern that nothing was cut from yet.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import Exists, OuterRef, Prefetch, QuerySet, Subquery

from fittings.fitting_room.said import entry_said
from fittings.models import (
    Customer,
    Decision,
    Entry,
    EntryKind,
    Fitting,
    Order,
    Photograph,
    Side,
    Ticket,
)
from fittings.outcomes.said import came_of
from fittings.units import in_units
from patterns.models import Pattern, PatternVersion
from patterns.shown import Changed, changes

PER_PAGE = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A sentence about one side; `came`: what came of a correction, where it was read since."""

    side: Side
    words: str
    came: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """The ticket that made a version, with the fitting behind it."""

    ticket: Ticket
    fitting: Fitting
    readings: tuple[Said, ...]
    corrections: tuple[Said, ...]
    photographs: tuple[Photograph, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One version. `elsewhere`: made by a ticket for a garment of somebody else.
    `newest`: the last version of its pattern."""

    version: PatternVersion
    changes: dict[str, list[Changed]]
    causes: tuple[Cause, ...]
    elsewhere: bool
    orders: tuple[Order, ...]
    newest: bool

    @property
    def begins(self) -> bool:
        """Whether the pattern begins here."""
        parent = self.version.parent
        return parent is None or parent.pattern_id != self.version.pattern_id


def patterns_of(customer: Customer) -> QuerySet[Pattern]:
    """The customer's patterns, the oldest first."""
    # Asked for by keys, from the customer's side: any other way reads all patterns of the shop.
    tickets = Ticket.objects.filter(order__customer=customer).order_by()
    keys = (
        Order.objects.filter(customer=customer)
        .order_by()
        .values_list("pattern_version__pattern")
        .union(
            tickets.values_list("pattern_before__pattern"),
            tickets.values_list("pattern_after__pattern"),
            Fitting.objects.filter(order__customer=customer)
            .order_by()
            .values_list("pattern_version__pattern"),
        )
    )
    theirs = {key for (key,) in keys if key is not None}
    cut = Order.objects.filter(pattern_version__pattern=OuterRef("pk"))
    uncut = Pattern.objects.filter(~Exists(cut), branched_from__pattern__in=theirs)
    rows = Pattern.objects.filter(pk__in=theirs | set(uncut.values_list("pk", flat=True)))
    return rows.select_related("branched_from__pattern").order_by("made_on", "pk")


def versions_of(customer: Customer, patterns: list[Pattern]) -> QuerySet[PatternVersion]:
    """All versions of these patterns, newest first, with all that the customer's page shows of
    them."""
    entries = Entry.objects.standing().filter(kind__in=(EntryKind.READING, EntryKind.FINDING))
    photographs = Photograph.objects.standing().consented()
    decisions = Decision.objects.standing().select_related("came_of_it")
    newest = PatternVersion.objects.filter(pattern=OuterRef("pattern")).order_by("-number")
    tickets = Ticket.objects.select_related("order", "fitting__fitter", "fitting__order")
    return (
        PatternVersion.objects.filter(pattern__in=patterns)
        .select_related("pattern__branched_from__pattern", "parent__pattern", "made_by")
        .prefetch_related(
            Prefetch("tickets_causing", tickets),
            Prefetch("tickets_causing__fitting__entries", entries),
            Prefetch("tickets_causing__fitting__photographs", photographs),
            Prefetch("tickets_causing__fitting__decisions", decisions),
            Prefetch("orders", Order.objects.filter(customer=customer)),
        )
        .annotate(last_number=Subquery(newest.values("number")[:1]))
        .order_by("-made_at", "-pattern", "-number")
    )


def step(version: PatternVersion, customer: Customer, unit: str) -> Step:
    """What is told of one version out of `versions_of`; lengths in the reader's unit."""
    tickets = list(version.tickets_causing.all())
    theirs = [ticket for ticket in tickets if ticket.order.customer_id == customer.pk]
    return Step(
        version=version,
        changes=changes(version),
        causes=tuple(_cause(ticket, unit) for ticket in theirs),
        elsewhere=len(theirs) < len(tickets),
        orders=tuple(version.orders.all()),
        newest=version.number == getattr(version, "last_number", None),
    )


def _cause(ticket: Ticket, unit: str) -> Cause:
    fitting = ticket.fitting
    lines: list[dict[str, Any]] = ticket.content.get("lines", [])
    decided = {(one.side, one.key): one for one in fitting.decisions.all()}
    return Cause(
        ticket=ticket,
        fitting=fitting,
        readings=tuple(
            Said(side=Side(entry.side), words=entry_said(entry, unit))
            for entry in fitting.entries.all()
        ),
        corrections=tuple(
            Said(
                side=Side(line["side"]),
                words=_worked(line, unit),
                came=came_of(decided.get((line["side"], line.get("key", ""))), unit),
            )
            for line in lines
        ),
        photographs=tuple(fitting.photographs.all()),
    )


def _worked(line: dict[str, Any], unit: str) -> str:
    title, reason = in_units(line["title"], unit), line.get("reason")
    return f"{title}. {reason}" if reason else title
