"""What can be found is kept in step here and nowhere else: at every save, in its transaction.

A name stands in the rows of the customer, of the orders and of the tickets; saving a customer
writes all of these. Writing past `save` (`update`, `bulk_create`) must call `keep` itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any, Final

from django.db import connection, transaction
from django.db.models import F, Model, QuerySet
from django.db.models.signals import post_delete, post_save

from fittings.models import Customer, Findable, FindableKind, Order, Ticket
from fittings.search import words
from fittings.search.folding import cut
from patterns.models import Pattern

KIND_OF: Final[dict[type[Model], FindableKind]] = {
    Customer: FindableKind.CUSTOMER,
    Order: FindableKind.ORDER,
    Ticket: FindableKind.TICKET,
    Pattern: FindableKind.PATTERN,
}
AT_ONCE: Final = 1000


def _rows(kind: FindableKind) -> QuerySet[Any]:
    """All that can be found of a kind, with what its words are taken from and no more."""
    rows: dict[FindableKind, QuerySet[Any]] = {
        FindableKind.CUSTOMER: Customer.objects.present(),
        FindableKind.ORDER: Order.objects.filter(customer__erased_on=None).select_related(
            "customer"
        ),
        FindableKind.TICKET: Ticket.objects.filter(order__customer__erased_on=None)
        .select_related("order__customer")
        .defer("content"),
        FindableKind.PATTERN: Pattern.objects.all(),
    }
    return rows[kind]


def keep(kind: FindableKind, rows: Iterable[Any]) -> None:
    """Write what these rows are found by, over what was written before."""
    of, base = words.OF[kind], kind.base
    findable = [
        Findable(pk=base + row.pk, kind=kind, object_id=row.pk, folded=cut(of(row))) for row in rows
    ]
    if findable:
        Findable.objects.bulk_create(
            findable,
            update_conflicts=True,
            unique_fields=["id"],
            update_fields=["folded"],
        )


def forget(customer: Customer) -> None:
    """Nothing of the customer, nor of an order or ticket, is found any more; the letters of the
    names leave the index with it. Call it in the transaction that erases."""
    gone: tuple[tuple[FindableKind, Any], ...] = (
        (FindableKind.CUSTOMER, Customer.objects.filter(pk=customer.pk)),
        (FindableKind.ORDER, customer.orders),
        (FindableKind.TICKET, Ticket.objects.filter(order__customer=customer)),
    )
    for kind, rows in gone:
        keys = rows.order_by().values(found_as=F("pk") + kind.base)
        Findable.objects.filter(pk__in=keys).delete()
    settle_letters()


def settle_letters() -> None:
    """SQLite's index only marks what is deleted as gone; written anew, it holds it no more."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("INSERT INTO fittings_letters(fittings_letters) VALUES ('optimize')")


def reindex() -> Iterator[tuple[FindableKind, int]]:
    """Write everything anew, a kind at a time; yields each kind with how many there are."""
    for kind in FindableKind:
        with transaction.atomic():
            Findable.objects.filter(kind=kind).delete()
            count = 0
            rows = _rows(kind).order_by("pk").iterator(AT_ONCE)
            while some := list(islice(rows, AT_ONCE)):
                keep(kind, some)
                count += len(some)
        yield kind, count
    settle_letters()
    if connection.vendor == "postgresql":
        # It would do so by itself, in time.
        with connection.cursor() as cursor:
            cursor.execute(f"ANALYZE {connection.ops.quote_name(Findable._meta.db_table)}")


def _saved(sender: type[Model], instance: Any, *, raw: bool = False, **_: Any) -> None:
    if raw:
        return
    with transaction.atomic():
        keep(KIND_OF[sender], [instance])
        if isinstance(instance, Customer):
            keep(FindableKind.ORDER, _rows(FindableKind.ORDER).filter(customer=instance))
            keep(FindableKind.TICKET, _rows(FindableKind.TICKET).filter(order__customer=instance))


def _deleted(sender: type[Model], instance: Any, **_: Any) -> None:
    Findable.objects.filter(pk=KIND_OF[sender].base + instance.pk).delete()


def listen() -> None:
    """Once, when the shop starts."""
    for model in KIND_OF:
        post_save.connect(_saved, sender=model, dispatch_uid="findable")
        post_delete.connect(_deleted, sender=model, dispatch_uid="findable")
