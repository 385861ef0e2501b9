"""What is found, kind by kind, as the page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.db.models import Count, QuerySet

from fittings.models import Customer, Findable, FindableKind, Order, Ticket
from fittings.search.folding import as_number
from fittings.search.looking import best_first, found
from patterns.models import Pattern

FIRST: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The best of one kind, and how many there are of it."""

    kind: FindableKind
    count: int
    rows: list[Any]

    @property
    def more(self) -> int:
        return self.count - len(self.rows)


def looked_up(typed: str, *, workroom: bool) -> tuple[QuerySet[Findable], dict[str, int], bool]:
    """What this person may see of what is found, how much of each kind, and whether a letter had to
    be taken as wrong."""
    for wrong_letter in (False, True):
        rows = found(typed, wrong_letter=wrong_letter)
        rows = rows.filter(workroom_too=True) if workroom else rows
        if counts := dict(rows.order_by().values_list("kind").annotate(Count("pk"))):
            return rows, counts, wrong_letter
    return Findable.objects.none(), {}, False


def groups(rows: QuerySet[Findable], counts: dict[str, int], typed: str) -> list[Group]:
    """The kinds of which something is found, in the order of the kinds."""
    return [
        Group(
            kind=kind,
            count=counts[kind],
            rows=shown(kind, best_first(rows.filter(kind__among=kind), typed)[:FIRST]),
        )
        for kind in FindableKind
        if kind in counts
    ]


def shown(kind: FindableKind, found: Any) -> list[Any]:
    """The rows themselves, in the order found; one query for all of them."""
    order = [row.object_id for row in found]
    rows = {row.pk: row for row in _rows(kind).filter(pk__in=order)}
    return [rows[key] for key in order if key in rows]


def _rows(kind: FindableKind) -> QuerySet[Any]:
    rows: dict[FindableKind, QuerySet[Any]] = {
        FindableKind.CUSTOMER: Customer.objects.present(),
        FindableKind.ORDER: Order.objects.filter(customer__erased_on=None).select_related(
            "customer"
        ),
        FindableKind.TICKET: Ticket.objects.filter(order__customer__erased_on=None)
        .select_related("order__customer", "superseded_by")
        .defer("content", "superseded_by__content"),
        FindableKind.PATTERN: Pattern.objects.all(),
    }
    return rows[kind]


def numbered(typed: str, *, workroom: bool) -> Any:
    """What has exactly this number, to be opened at once; None: there is none, or not for them.
    Of a ticket the newest revision, unless one is said."""
    said = as_number(typed)
    if said is None:
        return None
    number, revision = said
    kind = {kind.value[0].upper(): kind for kind in FindableKind}[number[0]]
    if workroom and kind in (FindableKind.CUSTOMER, FindableKind.ORDER):
        return None
    rows = _rows(kind).filter(number=number)
    if kind == FindableKind.TICKET:
        rows = rows.filter(revision=revision) if revision else rows.order_by("-revision")
    return rows.first()
