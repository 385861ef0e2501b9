"""What belongs to one customer: every row that leads to the customer, found by walking the models.

Nothing is listed by hand, so a model added later belongs as soon as it points to something that
does: it is erased with the customer, and carried with the customer's record.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from django.apps import apps
from django.db.models import ForeignKey, Model

from fittings.models import Customer

AnyModel = type[Model]
Keys = dict[AnyModel, set[Any]]

APPS = ("fittings", "patterns", "tailorshop")


@cache
def personal_models() -> tuple[AnyModel, ...]:
    """Customer, and every model that points to one of these; nearest to the customer first."""
    found: list[AnyModel] = [Customer]
    for model in found:  # grows while it is walked
        found += [other for other in shop_models() if other not in found and links(other, [model])]
    return tuple(found)


@cache
def shop_models() -> tuple[AnyModel, ...]:
    """All models of the shop but those that keep the history of another."""
    histories = {
        history_of(model) for app in APPS for model in apps.get_app_config(app).get_models()
    }
    return tuple(
        model
        for app in APPS
        for model in apps.get_app_config(app).get_models()
        if model not in histories
    )


def links(model: AnyModel, to: Any) -> list[ForeignKey[Any, Any]]:
    """The fields of a model that point to one of these models."""
    return [
        field
        for field in model._meta.concrete_fields
        if isinstance(field, ForeignKey) and field.related_model in to
    ]


def history_of(model: AnyModel) -> AnyModel | None:
    """The model that keeps the history of this one."""
    manager: Any = getattr(model, "history", None)
    return getattr(manager, "model", None)


def keys_of(customer: Customer, *, gone_too: bool = False) -> Keys:
    """The keys of all that belongs to a customer, by model. `gone_too`: also of rows that were
    deleted, as far as the history knows of them."""
    keys: Keys = {Customer: {customer.pk}}
    for model in personal_models()[1:]:
        rows: set[Any] = set()
        for link in links(model, keys):
            there = {f"{link.name}__in": keys[link.related_model]}
            rows |= set(model._default_manager.filter(**there).values_list("pk", flat=True))
            history = history_of(model)
            if gone_too and history is not None:
                past = history._default_manager.filter(**there)
                rows |= set(past.values_list(_key_name(model), flat=True))
        keys[model] = rows
    return keys


def _key_name(model: AnyModel) -> str:
    """The name that the key of a model has in its history too."""
    return str(model._meta.pk.attname) if model._meta.pk else "id"


def history_rows(model: AnyModel, keys: set[Any]) -> Any:
    """The history of the rows with these keys; None where the model keeps none."""
    history = history_of(model)
    if history is None:
        return None
    return history._default_manager.filter(**{f"{_key_name(model)}__in": keys})


def pointed_to(keys: Mapping[AnyModel, set[Any]], target: AnyModel) -> set[Any]:
    """The keys of rows of another model (a pattern's versions, people) that these rows name."""
    found: set[Any] = set()
    for model, mine in keys.items():
        for link in links(model, [target]):
            rows = model._default_manager.filter(pk__in=mine)
            found |= set(rows.values_list(link.attname, flat=True))
    return found - {None}
