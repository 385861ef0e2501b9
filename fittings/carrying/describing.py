"""The JSON Schema of a record, drawn up from the models: `manage.py record_schema` writes it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from django.db import models

from fittings.belonging import AnyModel, history_of
from fittings.carrying.record import FORM, PERSON, VERSION, carried_models
from fittings.carrying.rows import AnyField, kind_of, own_fields

TEXT: Final = {"type": "string"}
DIGEST: Final = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
# What JSON says for a field; a field of another kind is said as text.
TYPES: Final[tuple[tuple[tuple[type[AnyField], ...], dict[str, Any]], ...]] = (
    ((models.JSONField,), {}),
    ((models.BooleanField,), {"type": "boolean"}),
    ((models.DateTimeField,), {"type": "string", "format": "date-time"}),
    ((models.DateField,), {"type": "string", "format": "date"}),
    ((models.FloatField,), {"type": "number"}),
    ((models.DecimalField,), {"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"}),
    ((models.UUIDField,), {"type": "string", "format": "uuid"}),
    ((models.IntegerField, models.AutoField), {"type": "integer"}),
)


def schema() -> dict[str, Any]:
    """Fields that it does not name are carried too: a row always holds all that its model has."""
    past = [history for model in carried_models() if (history := history_of(model)) is not None]
    said = {
        "form": {"const": FORM},
        "version": {"type": "integer", "minimum": 1, "maximum": VERSION},
        "made_at": {"type": "string", "format": "date-time"},
        "shop": TEXT,
        "customer": TEXT,
        "people": _many(_person()),
        "rows": _kinds(carried_models()),
        "history": _kinds(past),
        "files": _many(_object(name=TEXT, sha256=DIGEST, bytes={"type": "integer", "minimum": 0})),
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "The record of one customer",
        "description": "Lengths in mm, angles in degrees, times in ISO 8601. A row names another "
        "row by its key in the same document. Photographs lie beside the document in the zip file.",
    } | _object(**said)


def _person() -> dict[str, Any]:
    texts = dict.fromkeys([name for name in PERSON if name != "id"], TEXT)
    return _object(id={"type": "integer"}, **texts)


def _object(**properties: Any) -> dict[str, Any]:
    return {"type": "object", "properties": properties, "required": list(properties)}


def _many(one: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": one}


def _kinds(found: list[AnyModel]) -> dict[str, Any]:
    kinds = {kind_of(model): _many(row_schema(model, own_fields(model))) for model in found}
    other = _many({"type": "object"})
    return {"type": "object", "properties": kinds, "additionalProperties": other}


def row_schema(model: AnyModel, told_of: Iterable[AnyField]) -> dict[str, Any]:
    """The schema of one row, of which these fields are told."""
    doc = (model.__doc__ or "").strip()
    fields = {field.name: _field(field) for field in told_of}
    told = {} if doc.startswith(model.__name__) else {"description": " ".join(doc.split())}
    return told | {"type": "object", "properties": fields, "required": [model._meta.pk.name]}


def _field(field: AnyField) -> dict[str, Any]:
    said: dict[str, Any]
    if isinstance(field, models.ForeignKey):
        target: Any = field.related_model
        return {
            "type": ["integer", "string", "null"],
            "description": f"a {target._meta.label_lower}",
        }
    said = next((dict(said) for kinds, said in TYPES if isinstance(field, kinds)), dict(TEXT))
    if field.null and "type" in said:
        said["type"] = [said["type"], "null"]
    return said
