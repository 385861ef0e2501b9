"""A shop emptied between export and import, and all that it holds, told without keys.

Keys are others elsewhere. So every row is told by its place among the rows of its model, and a
field that names a row by the place of that row; read straight from the models' own list of fields.
"""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.contrib.auth import get_user_model
from django.db import connection, models

Told = dict[str, list[dict[str, Any]]]
# What has no meaning elsewhere: said here once more, apart from the code.
STAYS = {"PrintRun", "PrintSheet", "CustomerBook", "BookRow", "BookOrigin", "CarriedIn", "Counter"}
# Written anew from the rows themselves.
STAYS |= {"Findable"}


def shop_models() -> list[Any]:
    return [m for app in ("fittings", "patterns") for m in apps.get_app_config(app).get_models()]


def empty_shop() -> None:
    """Take every row out, past all guards; the counters of keys go on."""
    with connection.constraint_checks_disabled():
        for model in [*shop_models(), get_user_model()]:
            model._base_manager.all()._raw_delete(model._base_manager.db)


def told() -> Told:
    """All rows of the shop by model, every field, people by their username."""
    people = dict(get_user_model().objects.values_list("pk", "username"))
    found = {m: list(m._base_manager.order_by("pk")) for m in shop_models()}
    places = {m: {row.pk: n for n, row in enumerate(rows)} for m, rows in found.items()}
    return {
        model.__name__: [_row(row, model, places, people) for row in rows]
        for model, rows in found.items()
        if model.__name__ not in STAYS
    }


def _row(row: Any, model: Any, places: Any, people: Any) -> dict[str, Any]:
    said = {}
    tracked = model if "history_id" not in {f.name for f in model._meta.fields} else None
    for field in model._meta.concrete_fields:
        value = getattr(row, field.attname)
        if field.primary_key and not isinstance(field, models.UUIDField):
            continue
        if tracked is None and field.name == "id" and isinstance(value, int):
            value = places[model.instance_type].get(value)
        elif field.related_model is get_user_model():
            value = people.get(value)
        elif field.related_model is not None and value is not None:
            value = places[field.related_model].get(value)
        said[field.name] = value
    return said
