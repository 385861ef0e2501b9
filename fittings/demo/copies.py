"""Many copies of a block of rows, made inside the database: faster than sending each row to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.db import connection, models

UUIDS = {"sqlite": "lower(hex(randomblob(16)))", "postgresql": "gen_random_uuid()"}

# Of each kind, the first and the last key of the block and the step from it to the copy.
Kind = type[models.Model]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Rows that belong together: `keys` of each kind the first and the last that is in it."""

    keys: Mapping[Kind, tuple[int, int]]

    def step(self, kind: Kind, copy: int) -> int:
        """From a key in the block to that of its copy; copies are numbered from 1."""
        first, last = self.keys[kind]
        return copy * (last - first + 1)

    def copy_out(self, kind: Kind, copy: int, within: Kind | None = None) -> None:
        """Copy the rows of one kind; `within`: the kind it belongs to, where its keys are UUIDs.

        References to kinds of the block go to their copies, numbers people say follow the keys.
        """
        table = connection.ops.quote_name(kind._meta.db_table)
        columns, values = zip(*self._columns(kind, copy), strict=True)
        where, inside = _key_of(kind), kind
        if within is not None:
            where, inside = _reference(kind, within), within
        first, last = self.keys[inside]
        with connection.cursor() as cursor:
            cursor.execute(
                f"INSERT INTO {table} ({', '.join(columns)}) SELECT {', '.join(values)}"  # noqa: S608
                f" FROM {table} WHERE {where} BETWEEN %s AND %s",
                [first, last],
            )

    def _columns(self, kind: Kind, copy: int) -> Iterator[tuple[str, str]]:
        for field in kind._meta.concrete_fields:
            if field.generated:
                continue
            column = connection.ops.quote_name(field.attname)
            yield column, self._value(kind, field, column, copy)

    def _value(
        self, kind: Kind, field: models.Field[object, object], column: str, copy: int
    ) -> str:
        if field.primary_key:
            if isinstance(field, models.UUIDField):
                return UUIDS[connection.vendor]
            return f"{column} + {self.step(kind, copy)}"
        target = field.related_model
        if isinstance(target, type) and target in self.keys:
            return f"{column} + {self.step(target, copy)}"
        if field.name == "number" and isinstance(field, models.CharField):
            letter = {"order": "O", "ticket": "T"}[kind._meta.model_name or ""]
            return f"'{letter}-' || ({_key_of(kind)} + {self.step(kind, copy)})"
        return column


def _key_of(kind: Kind) -> str:
    return connection.ops.quote_name(kind._meta.pk.attname)


def _reference(kind: Kind, target: Kind) -> str:
    for field in kind._meta.concrete_fields:
        if field.related_model is target:
            return connection.ops.quote_name(field.attname)
    raise ValueError(f"{kind.__name__} does not refer to {target.__name__}.")
