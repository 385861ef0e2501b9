"""A record as an earlier version of the program left it: some steps made, some rows kept."""

from __future__ import annotations

import datetime as dt
from typing import Final

from django.db import connection
from django.db.migrations.executor import MigrationExecutor

# Before customer books, the search, plans and quick codes; the first accounts.
THEN: Final = (
    ("tailorshop", "0001_initial"),
    ("patterns", "0002_initial"),
    ("fittings", "0012_who_checked_the_language_of_the_papers"),
    ("auth", "0012_alter_user_first_name_max_length"),
    ("contenttypes", "0002_remove_content_type_name"),
    ("sessions", "0001_initial"),
)
FAMILY: Final = "Quillfeather"


def main() -> None:
    executor = MigrationExecutor(connection)
    state = executor.migrate(list(THEN))
    then = state.apps
    then.get_model("tailorshop", "User").objects.create(username="old-hand", password="!")
    customers = then.get_model("fittings", "Customer").objects
    for number in range(30):
        customers.create(
            number=f"C-{number:04}",
            given_name="Old",
            family_name=f"{FAMILY}-{number}",
            record_consent_on=dt.date(2026, 1, 5),
        )
