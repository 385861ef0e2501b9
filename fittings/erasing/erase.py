"""Erase a customer for good: what the shop counts and cuts by stays, nothing of the person does.

Whatever belongs to the customer is deleted unless it stands in `KEPT`, so that what is added later
is erased without anybody having to think of it.
"""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction
from django.db.models import F, JSONField

from fittings.belonging import (
    AnyModel,
    Keys,
    keys_of,
    links,
    personal_models,
    pointed_to,
)
from fittings.erasing.histories import ALL, forget_histories, is_protected
from fittings.erasing.parts import delete_rows
from fittings.erasing.words import Naming
from fittings.errands.under_way import forget_files, forget_of
from fittings.models import (
    Customer,
    Decision,
    Erasure,
    FindableKind,
    Fitting,
    Need,
    Order,
    Outcome,
    Photograph,
    Ticket,
    TicketLine,
)
from fittings.photographs.erasing import erase_files, files_of
from fittings.refusals import Refused
from fittings.search.keeping import forget, keep
from patterns.bringing.picture import forget_all
from patterns.models import Pattern, PatternVersion

if TYPE_CHECKING:
    from tailorshop.models import User

# Rows that stay, with what is emptied in them. Their data keep numbers and the words of the book.
KEPT: Final[dict[AnyModel, dict[str, Any]]] = {
    Customer: {},
    Order: {"suit": "", "cloth": "", "style": "", "notes": ""},
    Fitting: {"worn_under": "", "note": ""},
    Decision: {"reason": ""},
    Need: {},
    Outcome: {},
    Ticket: {"reason": ""},
    TicketLine: {},
}
# What stays of the row of the customer; every other field goes back to its default.
STAYS: Final = frozenset({"id", "number", "version", "changed_at"})
# Written freely by somebody inside the data of a ticket, a line or a decision.
FREE_WORDS: Final = frozenset({"reason", "note", "despite", "worn_under", "style", "cloth"})
LEFT_OUT: Final = frozenset({"photographs", "questions"})


def erase(customer: Customer, *, by: User | None, on: dt.date) -> Erasure:
    """Erase the customer; returns the line of the erasure list. Refuses (Refused) one erased.

    Files go when the transaction is through; `traces.settle` then clears what the database's own
    files still hold.
    """
    with transaction.atomic():
        row = Customer.objects.select_for_update().get(pk=customer.pk)
        if row.erased_on is not None:
            raise Refused(f"{row.number} is erased already.")
        naming = Naming.of(row)
        keys = keys_of(row, gone_too=True)
        patterns = _patterns_of(keys)
        files = files_of(row, keys[Photograph])
        errands = forget_of(row)
        protected = is_protected()
        forget_histories(row, ALL, keys, by=by)
        _delete(keys)
        erase_files(row, files)
        for model, emptied in KEPT.items():
            _empty(model, keys[model], emptied, naming)
        _unname_patterns(patterns, naming, histories=not protected)
        transaction.on_commit(partial(forget_all, patterns))
        for key in errands:
            transaction.on_commit(partial(forget_files, key))
        keep(FindableKind.PATTERN, Pattern.objects.filter(pk__in=patterns))
        forget(row)
        _empty_customer(row, on)
        if protected:  # written down by the database
            return Erasure.objects.get(customer_key=row.pk)
        said = {"number": row.number, "erased_on": on, "by": by}
        return Erasure.objects.update_or_create(customer_key=row.pk, defaults=said)[0]


def _delete(keys: Keys) -> None:
    goes = {model: keys[model] for model in personal_models() if model not in KEPT}
    for model in KEPT:
        for link in links(model, goes):
            if link.null:
                rows = model._default_manager.filter(pk__in=keys[model])
                rows.update(**{link.attname: None})
    delete_rows(goes)


def _empty(model: AnyModel, mine: set[Any], emptied: dict[str, Any], naming: Naming) -> None:
    """Past `save`: issued papers refuse to be changed, and no history of it shall be written."""
    rows = model._default_manager.filter(pk__in=mine)
    if emptied:
        rows.update(**emptied)
    data = [f.name for f in model._meta.concrete_fields if isinstance(f, JSONField)]
    for row in rows.only("pk", *data) if data else ():
        said = {name: naming.without(bare(getattr(row, name))) for name in data}
        model._default_manager.filter(pk=row.pk).update(**said)


def bare(value: Any) -> Any:
    """Data without what somebody wrote freely, without photographs and without the customer."""
    if isinstance(value, list):
        return [bare(one) for one in value]
    if not isinstance(value, dict):
        return value
    left = {key: bare(one) for key, one in value.items() if key not in LEFT_OUT}
    emptied = {key: "" for key, one in left.items() if key in FREE_WORDS and isinstance(one, str)}
    nameless = {"customer": {"number": "", "name": ""}} if "customer" in left else {}
    return left | emptied | nameless


def _patterns_of(keys: Keys) -> set[int]:
    """The patterns cut for the customer, what they were branched from, and branches of them."""
    versions = PatternVersion.objects.filter(pk__in=pointed_to(keys, PatternVersion))
    found = set(versions.values_list("pattern", flat=True))
    while True:
        rows = Pattern.objects.filter(pk__in=found)
        more = set(rows.values_list("branched_from__pattern", flat=True)) - {None}
        branches = Pattern.objects.filter(branched_from__pattern__in=found)
        more |= set(branches.values_list("pk", flat=True))
        if more <= found:
            return found
        found |= more


def _unname_patterns(patterns: set[int], naming: Naming, *, histories: bool) -> None:
    """Names of patterns and notes of versions without the person; the geometry is not touched."""
    called = [Pattern.objects.filter(pk__in=patterns)]
    if histories:
        called.append(_history_of_patterns({"id__in": patterns}))
    for rows in called:
        for row in rows:
            _rewrite(rows, row, ("name", "block", "retired_reason"), naming)
    keep(FindableKind.PATTERN, Pattern.objects.filter(pk__in=patterns))
    versions = PatternVersion.objects.filter(pattern__in=patterns)
    for version in versions.only("pk", "note", "changes"):
        _rewrite(versions, version, ("note", "changes"), naming)


def _history_of_patterns(named: dict[str, Any]) -> Any:
    history: Any = Pattern.history
    return history.filter(**named)


def _rewrite(rows: Any, row: Any, names: tuple[str, ...], naming: Naming) -> None:
    said = {name: getattr(row, name) for name in names}
    anew = {
        n: naming.plain(v) if isinstance(v, str) else naming.without(v) for n, v in said.items()
    }
    if anew != said:
        rows.filter(pk=row.pk).update(**anew)


def _empty_customer(row: Customer, on: dt.date) -> None:
    fields = [f for f in Customer._meta.concrete_fields if f.name not in STAYS]
    defaults = {f.name: None if f.null else f.get_default() for f in fields}
    names = {"given_name": "Erased", "family_name": row.number, "erased_on": on}
    Customer.objects.filter(pk=row.pk).update(**defaults | names, version=F("version") + 1)
