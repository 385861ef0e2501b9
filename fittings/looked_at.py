"""Whose personal data a page shows: the getters say it, the project writes it into its trail."""

from __future__ import annotations

from django.http import HttpRequest

_NAME = "shop_customers_looked_at"


def looked_at(request: HttpRequest, customer_key: int) -> None:
    """The answer to this request shows something personal of the customer with this key."""
    setattr(request, _NAME, customers_looked_at(request) | {customer_key})


def customers_looked_at(request: HttpRequest) -> frozenset[int]:
    found: frozenset[int] = getattr(request, _NAME, frozenset())
    return found
