"""On PostgreSQL: how the shop's own database user forgets a person, and can forget nothing else.

A function of the owner of the tables does it (SECURITY DEFINER). It is told a customer and what is
to go, finds the rows itself, by the same ways as `fittings.belonging`, and always writes down what
was forgotten, in tables that the shop's user cannot change: no trail goes without a line that says
so. It stands in a schema of its own, so that no dump carries it without its rights.
"""

# Names of tables come from our own models, and that of the user was looked at.
# ruff: noqa: S608

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from django.db import connection

from fittings.belonging import AnyModel, history_of, links, personal_models
from fittings.erasing.histories import ALL, FUNCTION, PARTS, SCHEMA, shape
from fittings.models import Customer, Destroyed, Erasure
from patterns.models import Pattern, PatternVersion

_SIGNATURE: Final = f"{FUNCTION}(bigint, text, bigint)"


def statements(user: str) -> list[str]:
    """The SQL that makes the function and lets this user, whose name is plain, call it."""
    return [
        f"CREATE SCHEMA IF NOT EXISTS {SCHEMA}",
        f"REVOKE ALL ON SCHEMA {SCHEMA} FROM PUBLIC",
        f"GRANT USAGE ON SCHEMA {SCHEMA} TO {user}",
        _function(),
        f"COMMENT ON FUNCTION {_SIGNATURE} IS '{shape()}'",
        f"REVOKE ALL ON FUNCTION {_SIGNATURE} FROM PUBLIC",
        f"GRANT EXECUTE ON FUNCTION {_SIGNATURE} TO {user}",
    ]


def _function() -> str:
    keys = "\n".join(f"  {_keys(m)} {_type(m)}[];" for m in personal_models())
    orders = "\n".join([*_find(), *_forget(), *_unname()])
    return f"""CREATE OR REPLACE FUNCTION {FUNCTION}(customer bigint, what text, by_whom bigint)
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $forget$
DECLARE
  named text;
  patterns bigint[];
  more bigint[];
{keys}
BEGIN
  IF what IS NULL OR what NOT IN ({", ".join(f"'{one}'" for one in (ALL, *PARTS))}) THEN
    RAISE EXCEPTION 'nothing is called %', what;
  END IF;
  SELECT number INTO named FROM {_table(Customer)}
    WHERE id = customer AND erased_on IS NULL FOR UPDATE;
  IF named IS NULL THEN
    RAISE EXCEPTION 'there is no customer %', customer;
  END IF;
{_written_down()}
{orders}
END $forget$"""


def _written_down() -> str:
    return f"""  IF what = '{ALL}' THEN
    INSERT INTO {_table(Erasure)} (customer_key, number, erased_on, by_id)
      VALUES (customer, named, current_date, by_whom) ON CONFLICT (customer_key) DO NOTHING;
  ELSE
    INSERT INTO {_table(Destroyed)} (customer_key, number, what, at, by_id)
      VALUES (customer, named, what, now(), by_whom);
  END IF;"""


def _find() -> Iterator[str]:
    """The keys of all that belongs to the customer, also as the history knows it."""
    yield f"  {_keys(Customer)} := ARRAY[customer];"
    known: list[AnyModel] = [Customer]
    for model in personal_models()[1:]:
        there = " OR ".join(
            f"{link.column} = ANY({_keys(link.related_model)})" for link in links(model, known)
        )
        pk = _pk(model)
        found = [f"SELECT {pk} FROM {_table(model)} WHERE {there}"]
        if history := history_of(model):
            found.append(f"SELECT {pk} FROM {_table(history)} WHERE {there}")
        yield f"  {_keys(model)} := ARRAY({' UNION '.join(found)});"
        known.append(model)


def _forget() -> Iterator[str]:
    for model in personal_models():
        if (history := history_of(model)) is None:
            continue
        asked = [f"'{ALL}'", *(f"'{part}'" for part in PARTS if model in PARTS[part])]
        yield f"  IF what IN ({', '.join(asked)}) THEN"
        rows = f"{_pk(model)} = ANY({_keys(model)})"
        yield f"    DELETE FROM {_table(history)} WHERE {rows};"
        yield "  END IF;"


def _unname() -> Iterator[str]:
    """What the patterns of the customer, and branches of them, were called before."""
    pattern, version = _table(Pattern), _table(PatternVersion)
    named = " UNION ".join(
        f"SELECT {link.column} FROM {_table(model)} WHERE {_pk(model)} = ANY({_keys(model)})"
        for model in personal_models()
        for link in links(model, [PatternVersion])
    )
    history: Any = history_of(Pattern)
    yield f"""  IF what = '{ALL}' THEN
    patterns := ARRAY(SELECT DISTINCT pattern_id FROM {version} WHERE id IN ({named}));
    LOOP
      more := ARRAY(
        SELECT p.id FROM {pattern} p LEFT JOIN {version} v ON v.id = p.branched_from_id
          WHERE p.id = ANY(patterns) OR v.pattern_id = ANY(patterns)
        UNION SELECT v.pattern_id FROM {pattern} p JOIN {version} v ON v.id = p.branched_from_id
          WHERE p.id = ANY(patterns));
      EXIT WHEN cardinality(more) = cardinality(patterns);
      patterns := more;
    END LOOP;
    UPDATE {_table(history)} SET name = '[erased]', block = '', retired_reason = ''
      WHERE id = ANY(patterns);
  END IF;"""


def _table(model: AnyModel) -> str:
    return f"public.{connection.ops.quote_name(model._meta.db_table)}"


def _keys(model: AnyModel) -> str:
    return f"keys_of_{model._meta.db_table}"


def _pk(model: AnyModel) -> str:
    assert model._meta.pk is not None  # every model has one  # noqa: S101 # nosec B101
    return str(model._meta.pk.column)


def _type(model: AnyModel) -> str:
    pk: Any = model._meta.pk
    return "uuid" if pk.get_internal_type() == "UUIDField" else "bigint"
