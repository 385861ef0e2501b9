"""By which words each kind of thing is found. Takes rows of the models, as they are or were."""

from __future__ import annotations

from typing import Any

from fittings.search.folding import folded, folded_phone

# What the workroom may find: it works from these, and finds by what they show it.
WORKROOM_TOO = frozenset({"ticket", "pattern"})


def of_customer(row: Any) -> str:
    return folded(
        row.family_name,
        row.given_name,
        _number(row),
        row.number,
        row.email,
        folded_phone(row.phone),
    )


def of_order(row: Any) -> str:
    """Needs the customer."""
    who = row.customer
    return folded(_number(row), row.number, row.cloth, row.style, who.family_name, who.given_name)


def of_ticket(row: Any) -> str:
    """Needs the order's customer. Contact data is no way in: the workroom finds tickets."""
    order, who = row.order, row.order.customer
    return folded(
        _number(row),
        row.number,
        order.number,
        _number(order),
        who.number,
        who.family_name,
        who.given_name,
    )


def of_pattern(row: Any) -> str:
    return folded(_number(row), row.number, row.name, row.block)


def _number(row: Any) -> str:
    """Written in one: "C0012"."""
    return (row.number or "").replace("-", "")


OF = {"customer": of_customer, "order": of_order, "ticket": of_ticket, "pattern": of_pattern}
