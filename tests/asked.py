"""How many queries something asks of the database: the same, however much there is."""

from collections.abc import Callable

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext


def queries(do: Callable[[], object]) -> int:
    with CaptureQueriesContext(connection) as asked:
        do()
    return len(asked)


def queries_of(client: Client, address: str) -> int:
    """Of a page, which must open."""
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address).status_code == 200
    return len(asked)
