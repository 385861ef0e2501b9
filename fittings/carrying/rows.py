"""One row of the database as plain data, and back: every field, whatever it is called."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db.models import Field, ForeignKey, JSONField, Model

from fittings.belonging import AnyModel
from fittings.diary.days import YEARS
from fittings.refusals import Refused

AnyField = Field[Any, Any]
Data = dict[str, Any]
PLAIN = (bool, int, float, str, type(None))


def kind_of(model: AnyModel) -> str:
    """How a file names a model: "fittings.customer"."""
    return model._meta.label_lower


def model_of(kind: str) -> AnyModel:
    """The model of that name. Refuses (Refused) one that this version does not have."""
    try:
        return apps.get_model(kind)
    except (LookupError, ValueError):
        raise Refused(
            f"The file holds rows of a kind that is not known here ({kind[:40]}): it was written "
            "by a newer version. Bring this one up to date first."
        ) from None


def said(row: Model) -> Data:
    """All fields of a row by name; another row is named by its key."""
    return {field.name: _said(field, row) for field in own_fields(type(row))}


def own_fields(model: AnyModel) -> list[AnyField]:
    """Without those that the database makes out of the others."""
    return [field for field in model._meta.concrete_fields if not field.generated]


def _said(field: AnyField, row: Model) -> Any:
    value = getattr(row, field.attname)
    if isinstance(field, JSONField) or isinstance(value, PLAIN):
        return value
    return str(value) if isinstance(field, ForeignKey) else field.value_to_string(row)


def understood(
    model: AnyModel, data: Mapping[str, Any], pointing: Callable[[AnyField, Any], Any]
) -> Model:
    """A row, not saved, from its data. `pointing` gives the key here for a field that names another
    row, or the row itself (its primary key), from the key in the file.

    Refuses (Refused) fields that the model does not have and values that it cannot hold; a field
    that the file does not say keeps its default.
    """
    fields = {field.name: field for field in own_fields(model)}
    unknown = set(data) - set(fields)
    if unknown:
        raise Refused(
            f"The file says something of {model._meta.verbose_name} that is not known here "
            f"({', '.join(sorted(unknown))[:80]}): it was written by a newer version."
        )
    row = model()
    for name, value in data.items():
        field = fields[name]
        setattr(row, field.attname, _understood(model, field, value, pointing))
    return row


def _understood(
    model: AnyModel, field: AnyField, value: Any, pointing: Callable[[AnyField, Any], Any]
) -> Any:
    if value is not None and (field.primary_key or isinstance(field, ForeignKey)):
        return pointing(field, value)
    if isinstance(field, JSONField):
        return value
    try:
        found = field.to_python(value)
        if found is not None or not field.null:
            field.run_validators(found)
    except ValidationError as fault:
        said = f"{model._meta.verbose_name}, {field.verbose_name}: {'; '.join(fault.messages)}"
        raise Refused(f"The file holds a value that cannot be kept. {said}") from None
    return found


def check_days(row: Model) -> None:
    """Refuses (Refused) a day or moment that no clock can have said: pages would break on it."""
    for field in own_fields(type(row)):
        day = getattr(row, field.attname)
        if isinstance(day, dt.date) and day.year not in YEARS:
            raise Refused(
                "The file holds a value that cannot be kept. "
                f"{row._meta.verbose_name}, {field.verbose_name}: the year {day.year}."
            )


def check_choices(row: Model) -> None:
    """Refuses (Refused) a word in a field of which the shop knows only some: pages look it up."""
    for field in own_fields(type(row)):
        word = getattr(row, field.attname)
        known = [key for key, _ in field.flatchoices]
        if known and word not in (None, "", *known):
            raise Refused(
                "The file holds a value that cannot be kept. "
                f"{row._meta.verbose_name}, {field.verbose_name}: {str(word)[:40]}."
            )


def insert(row: Model) -> None:
    """Write a row as it is: no number given, no day of change set, no history begun."""
    row.save_base(raw=True, force_insert=True)


def in_order(models: Iterable[AnyModel]) -> list[AnyModel]:
    """Models so that a row can be written once all that it must point to is written."""
    left, done = list(models), list[AnyModel]()
    while left:
        ready = [m for m in left if not _waits_for(m, left)]
        if not ready:
            raise AssertionError(f"{left} point to each other")
        done += ready
        left = [m for m in left if m not in ready]
    return done


def _waits_for(model: AnyModel, left: list[AnyModel]) -> bool:
    return any(
        isinstance(field, ForeignKey)
        and not field.null
        and field.related_model in left
        and field.related_model is not model
        for field in model._meta.concrete_fields
    )
