"""Earlier states forgotten: by the shop itself, or by the database where it may not."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Final

from django.db import connection

from fittings.belonging import (
    AnyModel,
    Keys,
    history_of,
    history_rows,
    links,
    personal_models,
)
from fittings.models import (
    ArmCarriage,
    Customer,
    FigureNote,
    KeptKind,
    Measurement,
    MeasurementSet,
    Photograph,
    PhotographMark,
)
from fittings.refusals import Refused

if TYPE_CHECKING:
    from tailorshop.models import User

ALL: Final = "all"
# What may go while the customer stays, with what has it; what points to another comes after it.
PARTS: Final[Mapping[str, tuple[AnyModel, ...]]] = {
    KeptKind.PHOTOGRAPHS.value: (Photograph, PhotographMark),
    KeptKind.MEASURES.value: (MeasurementSet, Measurement, ArmCarriage, FigureNote),
}
# Made by `manage.py protect_trail`, where the shop's database user only adds to the histories.
SCHEMA: Final = "shop_guard"
FUNCTION: Final = f"{SCHEMA}.forget"
NOT_HERE: Final = (
    "Here the histories cannot be changed from a page. Have the keeper of the installation run "
    "“manage.py protect_trail” once more, or erase at the shop's computer with the owner's "
    "DATABASE_URL: “manage.py erase_customer {number}”. Nothing was erased."
)


def is_protected() -> bool:
    """Whether the database lets this user only add to the histories."""
    if connection.vendor != "postgresql":
        return False
    with connection.cursor() as cursor:
        history: Any = history_of(Customer)
        cursor.execute("SELECT has_table_privilege(%s, 'DELETE')", [history._meta.db_table])
        return not cursor.fetchone()[0]


def forget_histories(customer: Customer, what: str, keys: Keys, *, by: User | None) -> None:
    """Forget the earlier states of these rows, before the rows themselves are deleted.

    Where the trail is protected the database finds them itself and writes down that they went.
    Refuses (Refused) where that is not set up, or was for an older version of the program.
    """
    if not is_protected():
        for model, mine in keys.items():
            rows = history_rows(model, mine)
            if rows is not None:
                rows.delete()
        return
    with connection.cursor() as cursor:
        if _made_for(cursor) != shape():
            raise Refused(NOT_HERE.format(number=customer.number))
        by_whom = by.pk if by else None
        cursor.execute(f"SELECT {FUNCTION}(%s, %s, %s)", [customer.pk, what, by_whom])


def shape() -> str:
    """The digest of what belongs to a customer and by which ways: a function that was made for
    another shape would leave something behind."""
    ways = [
        (
            model._meta.label,
            history_of(model) is not None,
            [link.column for link in links(model, personal_models())],
            [part for part in PARTS if model in PARTS[part]],
        )
        for model in personal_models()
    ]
    return sha256(repr(ways).encode()).hexdigest()


def _made_for(cursor: Any) -> str | None:
    """The shape that the function was made for, as its comment says; None where there is none that
    this user reaches."""
    cursor.execute(
        "SELECT obj_description(p.oid, 'pg_proc') FROM pg_proc p"
        " JOIN pg_namespace n ON n.oid = p.pronamespace"
        " WHERE n.nspname = %s AND p.proname = %s AND has_schema_privilege(n.oid, 'USAGE')"
        " AND has_function_privilege(p.oid, 'EXECUTE')",
        FUNCTION.split("."),
    )
    found = cursor.fetchone()
    return found[0] if found else None
