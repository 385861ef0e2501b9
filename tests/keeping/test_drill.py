"""The record is put back from a backup taken while somebody wrote: the whole drill, each run."""

import json
import os
import shutil
import subprocess
import sys
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

PROGRAM = (
    "import sys, django; django.setup(); from tests.keeping.drill import main; main(sys.argv[1])"
)


def drilled(folder: Path, address: str | None) -> dict[str, Any]:
    """Run the drill as a program of its own, on an installation of its own."""
    settings = {"TAILORSHOP_VAR": str(folder / "var"), "TAILORSHOP_DEBUG": "1"}
    apart = {"DATABASE_URL", "DJANGO_SETTINGS_MODULE", "TAILORSHOP_BACKUPS"}
    env = {name: value for name, value in os.environ.items() if name not in apart}
    settings["DJANGO_SETTINGS_MODULE"] = "tailorshop.settings"
    if address:
        settings["DATABASE_URL"] = address
    answer = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(folder / "archives")],
        env=env | settings,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert answer.returncode == 0, answer.stderr
    found: dict[str, Any] = json.loads(answer.stdout.splitlines()[-1])
    return found


def stood(found: dict[str, Any]) -> None:
    """What must be so after every drill."""
    assert found["same"], "a table is not, row by row, what it was"
    assert found["tables"] > 40
    assert found["left_signed_in"] == 0, "who was signed out since would be signed in again"
    assert found["photographs"]
    assert all(found["photographs"]), "a photograph does not open"
    assert found["pdf"] == "%PDF-"
    # The archive taken while somebody wrote: all that was kept before it began, nothing after.
    assert 1 <= found["begun"] <= found["in_busy"] <= found["ended"] + 1
    assert found["begun"] < found["ended"], "nobody wrote while it was taken"
    assert found["asides"], "what was there before --replace is not kept"


@pytest.mark.skipif(connection.vendor != "sqlite", reason="the other engine's turn")
def test_a_shop_is_put_back_on_sqlite_as_it_was(tmp_path: Path, new_record: Path) -> None:
    (tmp_path / "var").mkdir()
    shutil.copy(new_record, tmp_path / "var/shop.sqlite3")
    stood(drilled(tmp_path, None))


@pytest.mark.skipif(connection.vendor != "postgresql", reason="no PostgreSQL here")
@pytest.mark.django_db(transaction=True)
def test_a_shop_is_put_back_on_postgresql_as_it_was(tmp_path: Path) -> None:
    name = f"drill_{uuid.uuid4().hex[:12]}"
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name}")
    try:
        host = connection.settings_dict["OPTIONS"].get("host") or connection.settings_dict["HOST"]
        user = connection.settings_dict["USER"]
        stood(drilled(tmp_path, f"postgres://{user}@/{name}?host={host}"))
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")
