"""What a shop says of its database, as PostgreSQL's own client library reads it."""

import pytest
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from tailorshop import env


@pytest.mark.parametrize(
    ("behind", "name", "value"),
    [
        ("", "connect_timeout", "5"),
        ("", "tcp_user_timeout", "10000"),
        ("?connect_timeout=2&sslmode=verify-full", "connect_timeout", "2"),
        ("?connect_timeout=2&sslmode=verify-full", "sslmode", "verify-full"),
        ("?connect_timeout=2&sslmode=verify-full", "keepalives_count", "2"),
    ],
)
def test_a_database_host_that_went_without_a_word_is_given_up_as_the_address_says_or_we(
    behind: str, name: str, value: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DATABASE_URL", f"postgres://shop@database.example.org/shop{behind}")
    # Refuses a name that the library does not know.
    read = conninfo_to_dict(make_conninfo(**env.database("")["OPTIONS"]))
    assert str(read[name]) == value


@pytest.mark.parametrize("said", [None, ""])
def test_an_address_left_empty_is_the_file_of_the_shop(
    said: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("DATABASE_URL", raising=False)
    if said is not None:
        monkeypatch.setenv("DATABASE_URL", said)
    assert env.database("sqlite:///shop.sqlite3")["NAME"] == "shop.sqlite3"
