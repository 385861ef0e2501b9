"""The record of one customer as a document: all rows, the patterns, the people named, the files."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from django.conf import settings
from django.db.models import Model

from fittings.belonging import (
    AnyModel,
    Keys,
    history_of,
    history_rows,
    keys_of,
    personal_models,
    pointed_to,
)
from fittings.carrying.rows import Data, in_order, kind_of, said
from fittings.models import (
    Act,
    BookOrigin,
    BookRow,
    CarriedIn,
    Customer,
    Errand,
    Maker,
    Photograph,
    PrintSheet,
    Ticket,
)
from patterns.models import Pattern, PatternVersion

FORM: Final = "record of one customer"
VERSION: Final = 1
# Rows that mean nothing elsewhere: what devices sent, sheets waiting to be printed,
# what was asked for, and how the
# customer came here.
STAYS_HERE: Final[frozenset[AnyModel]] = frozenset(
    {Act, PrintSheet, BookRow, BookOrigin, CarriedIn, Errand}
)
BESIDE: Final[tuple[AnyModel, ...]] = (Pattern, PatternVersion, Maker)
PERSON: Final = ("id", "username", "first_name", "last_name", "role")


def carried_models() -> list[AnyModel]:
    """The models a record holds, each after those it must point to."""
    belonging = [model for model in personal_models() if model not in STAYS_HERE]
    return in_order([*BESIDE, *belonging])


def document(customer: Customer, *, at: dt.datetime) -> dict[str, Any]:
    """The record of a customer, ready for JSON; lengths in mm, times in ISO 8601."""
    keys = _all_keys(customer)
    rows = {model: _rows(model, keys[model]) for model in carried_models()}
    history = {
        past: list(history_rows(model, keys[model]).order_by("pk"))
        for model in carried_models()
        if (past := history_of(model)) is not None
    }
    return {
        "form": FORM,
        "version": VERSION,
        "made_at": at.isoformat(),
        "shop": settings.SHOP_NAME,
        "customer": customer.number,
        "people": _people([*rows.values(), *history.values()]),
        "rows": {kind_of(model): [said(row) for row in found] for model, found in rows.items()},
        "history": {kind_of(m): [said(row) for row in found] for m, found in history.items()},
        "files": [],
    }


def _rows(model: AnyModel, keys: set[Any]) -> list[Model]:
    return list(model._default_manager.filter(pk__in=keys).order_by("pk"))


def _all_keys(customer: Customer) -> Keys:
    """What belongs to the customer, also as the history knows it, and what that points to."""
    keys = keys_of(customer, gone_too=True)
    patterns = set(
        PatternVersion.objects.filter(pk__in=pointed_to(keys, PatternVersion)).values_list(
            "pattern", flat=True
        )
    )
    while True:  # and what they were branched from
        rows = Pattern.objects.filter(pk__in=patterns).exclude(branched_from=None)
        more = set(rows.values_list("branched_from__pattern", flat=True)) - patterns
        if not more:
            break
        patterns |= more
    versions = PatternVersion.objects.filter(pattern__in=patterns).values_list("pk", flat=True)
    return keys | {
        Pattern: patterns,
        PatternVersion: set(versions),
        Maker: pointed_to(keys, Maker),
    }


def _people(found: list[list[Model]]) -> list[Data]:
    """Whoever of the shop is named by these rows, without anything to sign in with."""
    from django.contrib.auth import get_user_model

    people = get_user_model()
    named = {
        getattr(row, field.attname)
        for rows in found
        for row in rows
        for field in row._meta.concrete_fields
        if field.related_model is people
    }
    return list(people.objects.filter(pk__in=named - {None}).order_by("pk").values(*PERSON))


def photographs_of(customer: Customer) -> list[str]:
    """The digests of every photograph kept of a customer: as taken, and as papers carry them."""
    history: Any = Photograph.history
    mine = {"fitting__order__customer": customer}
    taken = Photograph.objects.filter(**mine)
    kept = set(history.filter(id__in=taken.values("pk")).values_list("sha256", flat=True))
    contents = Ticket.objects.filter(order__customer=customer).values_list("content", flat=True)
    issued = {one["sha256"] for content in contents for one in content.get("photographs", ())}
    return sorted(kept | issued | set(taken.values_list("sha256", flat=True)))
