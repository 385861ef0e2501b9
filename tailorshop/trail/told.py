"""What stands in a field, in words that the owner reads."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from functools import singledispatch
from typing import Any, Final
from uuid import UUID

from django.apps import apps
from django.db.models import CharField
from django.utils import timezone

from fittings.belonging import AnyModel

LONGEST: Final = 200
# The first figures of a long key tell rows apart well enough.
SHORT: Final = 8

# Of each model that rows point to: what is said of the row of that key.
Named = dict[tuple[AnyModel, Any], str]


def named(rows: Iterable[Any]) -> Named:
    """People by their names, and whatever bears a number by it, or by that of what it belongs to:
    one query for each kind."""
    keys: dict[AnyModel, set[Any]] = {}
    for row in rows:
        for field in row.tracked_fields:
            if field.is_relation and (key := getattr(row, field.attname)) is not None:
                keys.setdefault(field.related_model, set()).add(key)
    return {
        (model, key): words
        for model, wanted in keys.items()
        for key, words in _words_of(model, wanted)
    }


def _words_of(model: AnyModel, keys: set[Any]) -> Iterable[tuple[Any, str]]:
    rows = model._default_manager.filter(pk__in=keys)
    if model is apps.get_model("tailorshop", "User"):
        return ((person.pk, str(person)) for person in rows)
    if _bears_a_number(model):
        return rows.values_list("pk", "number")
    above = (f.name for f in model._meta.concrete_fields if _bears_a_number(f.related_model))
    if way := next(above, ""):
        numbers = rows.values_list("pk", f"{way}__number")
        return ((key, f"no. {short(key)} of {number}") for key, number in numbers)
    return ()


def _bears_a_number(model: Any) -> bool:
    fields = model._meta.concrete_fields if model else ()
    return any(field.name == "number" and isinstance(field, CharField) for field in fields)


def told(row: Any, field: Any, names: Named) -> str:
    """ "" where nothing stands there."""
    value = getattr(row, field.attname)
    if value is None or value == "":
        return ""
    if field.is_relation:
        return names.get((field.related_model, value), f"no. {short(value)}")
    for key, words in field.flatchoices:
        if key == value:
            return str(words)
    said = in_words(value)
    return said if len(said) <= LONGEST else said[:LONGEST] + " …"


def short(key: Any) -> str:
    return str(key)[:SHORT] if isinstance(key, UUID) else str(key)


@singledispatch
def in_words(value: Any) -> str:
    return str(value)


@in_words.register
def _(value: bool) -> str:
    return "yes" if value else "no"


@in_words.register
def _(value: dt.date) -> str:
    return f"{value:%-d %b %Y}"


@in_words.register
def _(value: dt.datetime) -> str:
    return f"{timezone.localtime(value):%-d %b %Y, %H:%M}"


@in_words.register(list)
def _(value: list[Any]) -> str:
    return json.dumps(value, ensure_ascii=False)


@in_words.register(dict)
def _(value: Mapping[str, Any]) -> str:
    """A correction by its title; what was read, piece by piece, in an order of its own: databases
    keep none, or another."""
    if isinstance(title := value.get("title"), str):
        return title
    pieces = sorted(value.items(), key=lambda piece: (piece[0] != "what", piece[0]))
    return "; ".join(f"{name.replace('_', ' ')} {_inside(one)}" for name, one in pieces)


def _inside(value: Any) -> str:
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return in_words(value)
