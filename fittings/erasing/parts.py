"""Photographs or measures destroyed of a customer who stays, and that they were, written down."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction

from fittings.belonging import AnyModel, Keys, links
from fittings.bench.print_queue import lay_out_anew
from fittings.erasing.histories import PARTS, forget_histories, is_protected
from fittings.errands.under_way import forget_packed
from fittings.models import (
    ArmCarriage,
    Customer,
    Destroyed,
    FigureNote,
    KeptKind,
    MeasurementSet,
    Photograph,
)
from fittings.photographs.erasing import erase_files, files_of

if TYPE_CHECKING:
    from tailorshop.models import User

PHOTOGRAPHS: Final = KeptKind.PHOTOGRAPHS
# What says since when a row is kept.
KEPT_SINCE: Final[dict[AnyModel, str]] = {
    Photograph: "received_at__lte",
    MeasurementSet: "taken_on__lte",
    ArmCarriage: "observed_on__lte",
    FigureNote: "noted_on__lte",
}


def destroy(
    customer: Customer,
    what: KeptKind,
    *,
    by: User | None,
    at: dt.datetime,
    until: dt.datetime | None = None,
) -> int:
    """Destroy all photographs, or all measures and notes of the figure, with their history.

    `until`: only what was kept by then. Returns how many. Papers issued keep their words. Refuses
    (Refused) where the database does not let the shop forget. Files go once it is written.
    """
    with transaction.atomic():
        keys = keys_of_part(customer, what, until)
        files = files_of(customer, keys[Photograph]) if what == PHOTOGRAPHS else set()
        if not is_protected():  # else the database writes it down itself
            Destroyed.objects.create(
                customer_key=customer.pk, number=customer.number, what=what, at=at, by=by
            )
        forget_histories(customer, what, keys, by=by)
        delete_rows(keys)
        erase_files(customer, files)
        if what == PHOTOGRAPHS:
            lay_out_anew(customer)
        forget_packed(customer)
    return len(keys[PARTS[what][0]]) if what == PHOTOGRAPHS else sum(map(len, keys.values()))


def keys_of_part(customer: Customer, what: KeptKind, until: dt.datetime | None = None) -> Keys:
    """The keys of what would be destroyed, by model."""
    keys: Keys = {}
    for model in PARTS[what]:
        rows = model._default_manager.all()
        if above := links(model, keys):
            rows = rows.filter(**{f"{above[0].name}__in": keys[above[0].related_model]})
        else:
            rows = rows.filter(**_of(model, customer), **_by_then(model, until))
        keys[model] = set(rows.values_list("pk", flat=True))
    return keys


def _of(model: AnyModel, customer: Customer) -> dict[str, Any]:
    return {"fitting__order__customer" if model is Photograph else "customer": customer}


def _by_then(model: AnyModel, until: dt.datetime | None) -> dict[str, Any]:
    if until is None:
        return {}
    return {KEPT_SINCE[model]: until if model is Photograph else until.date()}


def delete_rows(keys: Keys) -> None:
    """Past the signals, which would write into the history what is being forgotten; models that
    point to another come after it."""
    for model in reversed(keys):
        rows: Any = model._base_manager.filter(pk__in=keys[model])
        rows._raw_delete(rows.db)
