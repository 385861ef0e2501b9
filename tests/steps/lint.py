"""Looks over the steps that came after the baseline: `python -m tests.steps.lint`.

A step may not lose anything, or have no way back, without it being said here why. It need not get
along with the version before: the shop is closed while it is made.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import Final

import django

# The newest step of each part when this look began; what stands in shops is not looked at again.
BASELINE: Final = {
    "tailorshop": "0006_accounts_have_a_version",
    "patterns": "0003_indexes_for_long_lists",
    "fittings": "0021_what_was_done_once_under_an_identity",
}
# "fittings.0042_name": why it may do what is complained of.
ALLOWED: Final[Mapping[str, str]] = {
    "fittings.0027_what_can_be_found_kind_by_kind": "The column that goes said no more than "
    "the kind of the row does, the constraint no more than its new key.",
}
# A new column that may not be empty gets the default of its field, and nobody writes meanwhile.
HARMLESS: Final = ("NOT_NULL",)
MUST_NOT: Final = ("RUNPYTHON_REVERSIBLE", "RUNSQL_REVERSIBLE")


def complained_of(baseline: Mapping[str, str]) -> list[str]:
    """Steps after the baseline that are not allowed, as "app.name"; says on the way what is wrong.

    Judges the orders that the database of the settings would be given (SQLite or PostgreSQL).
    """
    from django_migration_linter import MigrationLinter

    linter = MigrationLinter(
        no_cache=True,
        exclude_migration_tests=HARMLESS,
        warnings_as_errors_tests=MUST_NOT,
        quiet=["ok", "ignore"],
    )
    found = []
    for (app, name), step in sorted(linter.migration_loader.disk_migrations.items()):
        if app in baseline and name > baseline[app] and f"{app}.{name}" not in ALLOWED:
            linter.reset_counters()
            linter.lint_migration(step)
            found += [f"{app}.{name}"] * linter.has_errors
    return found


def main() -> None:
    django.setup()
    if bad := complained_of(BASELINE):
        sys.exit(f"Not safe, or to be allowed in {__file__}: {', '.join(bad)}")


if __name__ == "__main__":
    main()
