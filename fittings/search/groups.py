"""What is found, kind by kind, as the page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.db.models import QuerySet

from fittings.models import Customer, FindableKind, Order, Ticket
from fittings.search.folding import as_number
from fittings.search.looking import Asked, asked, keys_of_each
from fittings.search.words import WORKROOM_TOO
from patterns.models import Pattern

FIRST: Final = 8
# So many of a kind are counted.
COUNTED: Final = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What is found of one kind: `some` are the keys of all, or one more than are counted."""

    looked_for: Asked
    some: list[int]

    @classmethod
    def of(cls, kind: FindableKind, found: list[Group]) -> Group:
        """That of this kind, be there nothing in it."""
        nothing = cls(looked_for=Asked(kind=kind, words=()), some=[])
        return next((group for group in found if group.kind == kind), nothing)

    @property
    def kind(self) -> FindableKind:
        return self.looked_for.kind

    @property
    def count(self) -> int:
        return min(len(self.some), COUNTED)

    @property
    def all_counted(self) -> bool:
        return len(self.some) <= COUNTED

    @property
    def said(self) -> str:
        return str(self.count) if self.all_counted else f"more than {self.count}"

    @property
    def more(self) -> int:
        """Beyond those shown at once, of those counted."""
        return max(self.count - FIRST, 0)

    @property
    def rows(self) -> list[Any]:
        """The first of them themselves, in one query."""
        order = self.best(FIRST)
        rows = rows_of(self.kind).in_bulk(order)
        return [rows[key] for key in order if key in rows]

    def best(self, most: int) -> list[int]:
        """The keys of the first so many, best first."""
        return self.looked_for.best(most, self.some if self.all_counted else None)


def groups(typed: str, *, workroom: bool) -> tuple[list[Group], bool]:
    """The kinds of which this person may see something that is found, and whether a letter had to
    be taken as wrong."""
    kinds = [kind for kind in FindableKind if not workroom or kind in WORKROOM_TOO]
    for wrong_letter in (False, True):
        each = [asked(kind, typed, wrong_letter=wrong_letter) for kind in kinds]
        keys = zip(each, keys_of_each(each, COUNTED + 1), strict=True)
        found = [Group(looked_for=one, some=some) for one, some in keys]
        if found := [group for group in found if group.some]:
            return found, wrong_letter
    return [], False


def rows_of(kind: FindableKind) -> QuerySet[Any]:
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
    if workroom and kind not in WORKROOM_TOO:
        return None
    rows = rows_of(kind).filter(number=number)
    if kind == FindableKind.TICKET:
        rows = rows.filter(revision=revision) if revision else rows.order_by("-revision")
    return rows.first()
