"""Who changed what, from what to what: read from the histories of all models, newest first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from django.db.models import OuterRef, Subquery

from fittings.belonging import AnyModel, history_of, links, personal_models, shop_models
from patterns.history import PEOPLE
from tailorshop.trail.told import Named, named, short, told

PER_PAGE: Final = 50
# Counts of saves and their moment say nothing that the line itself does not say.
NOT_SHOWN: Final = frozenset({"version", "changed_at"})
DONE: Final = {"+": "entered", "~": "changed", "-": "deleted"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One field; `before` is "" where the row is new, `after` where it was deleted."""

    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One change of one row."""

    at: dt.datetime
    by: str
    what: str
    key: str
    done: str
    differences: tuple[Difference, ...]


def changes(
    *, customer: int | None = None, user: int | None = None, before: dt.datetime | None = None
) -> tuple[list[Changed], dt.datetime | None]:
    """A page of changes older than `before`, newest first, and the moment where the next begins.

    A fixed number of queries for each kind of record. Rows of one moment are not torn apart.
    """
    found = []
    for history in histories():
        rows = _of(history, customer) if customer else history._default_manager.all()
        if rows is None:
            continue
        if user:
            rows = rows.filter(history_user_id=user)
        if before:
            rows = rows.filter(history_date__lt=before)
        found += list(_with_the_one_before(history, rows)[: PER_PAGE + 1])
    found.sort(key=lambda row: (row.history_date, row.history_id), reverse=True)
    if len(found) <= PER_PAGE:
        return _said(found), None
    last = found[PER_PAGE - 1].history_date
    return _said([row for row in found if row.history_date >= last]), last


@cache
def histories() -> tuple[AnyModel, ...]:
    """Every model that keeps the history of another."""
    kept = (history_of(model) for model in shop_models())
    return tuple(history for history in kept if history is not None)


def of_model(history: AnyModel) -> AnyModel:
    """The model whose history this is."""
    model: AnyModel = history.instance_type  # type: ignore[attr-defined]
    return model


@cache
def way_to_customer(model: AnyModel) -> str | None:
    """The lookup that leads from a row of this model to the key of its customer, or None."""
    if model is personal_models()[0]:
        return "id"
    if model not in personal_models():
        return None
    for target in personal_models():
        for link in links(model, [target]):
            if target is personal_models()[0]:
                return link.attname
            if target is not model and (onward := way_to_customer(target)):
                return f"{link.name}__{onward}"
    return None


def _of(history: AnyModel, customer: int) -> Any:
    way = way_to_customer(of_model(history))
    return history._default_manager.filter(**{way: customer}) if way else None


def _with_the_one_before(history: AnyModel, rows: Any) -> Any:
    key = of_model(history)._meta.pk
    name = str(key.attname) if key else "id"
    earlier = history._default_manager.filter(
        **{name: OuterRef(name)}, history_id__lt=OuterRef("history_id")
    )
    previous = Subquery(earlier.order_by("-history_id").values("history_id")[:1])
    newest = rows.select_related(*PEOPLE).order_by("-history_date", "-history_id")
    return newest.annotate(previous_id=previous)


def _said(rows: list[Any]) -> list[Changed]:
    previous: dict[tuple[type, int], Any] = {}
    for history in {type(row) for row in rows}:
        wanted = [row.previous_id for row in rows if type(row) is history and row.previous_id]
        for key, row in history._default_manager.in_bulk(wanted).items():
            previous[history, key] = row
    names = named([*rows, *previous.values()])
    return [_change(row, previous.get((type(row), row.previous_id)), names) for row in rows]


def _change(row: Any, before: Any, names: Named) -> Changed:
    model = of_model(type(row))
    key = model._meta.pk
    return Changed(
        at=row.history_date,
        by=row.history_who or "the installation itself",
        what=str(model._meta.verbose_name).capitalize(),
        key=short(getattr(row, "number", "") or getattr(row, key.attname if key else "id")),
        done=DONE[row.history_type],
        differences=tuple(_differences(row, before, names)),
    )


def _differences(row: Any, before: Any, names: Named) -> Iterable[Difference]:
    gone = row.history_type == "-"
    for field in row.tracked_fields:
        if field.name in NOT_SHOWN or field.primary_key:
            continue
        if before is None and getattr(row, field.attname) is False:
            continue
        was = told(before, field, names) if before is not None else ""
        now = "" if gone else told(row, field, names)
        if was != now:
            yield Difference(name=str(field.verbose_name), before=was, after=now)
