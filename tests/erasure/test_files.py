"""A shop on the disk: after erasing, no byte of its folder names the customer any more, and when
a backup from before is put back, whoever was erased since stays erased."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from fittings.erasing.traces import files_with

# One customer under two names, among others that move her rows about in the file.
SHOP = """
from django.db import transaction
from tests.factories import CustomerFactory, FittingFactory
from tests.photographs.pictures import photographed
with transaction.atomic():
    for n in range(200):
        CustomerFactory(notes="n" * (n % 90))
fitting = FittingFactory(note="Ottilia was in a hurry")
customer = fitting.order.customer
for family in ("Fennimoor", "Brackenwhistle"):
    customer.given_name, customer.family_name, customer.notes = "Ottilia", family, family * 40
    customer.save()
photographed(fitting, fitting.fitter)
with transaction.atomic():
    for n in range(200):
        CustomerFactory(notes="m" * (n % 70))
print(customer.number)
"""
WORDS = ("Ottilia", "Brackenwhistle", "Fennimoor")
OTHER = {"customer": 999, "number": "C-0999", "on": "2026-03-02", "what": ""}


def manage(var: Path, *what: str, said: str = "") -> str:
    done = subprocess.run(
        [sys.executable, "manage.py", *what],
        cwd=settings.BASE_DIR,
        env={
            **os.environ,
            "TAILORSHOP_VAR": str(var),
            "DATABASE_URL": f"sqlite:///{var}/s.sqlite3",
        },
        input=said,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


@pytest.fixture(scope="session")
def made_once(new_record: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    var = tmp_path_factory.mktemp("erasure") / "var"
    var.mkdir()
    shutil.copy(new_record, var / "s.sqlite3")
    return var, manage(var, "shell", "-v0", "-c", SHOP).split()[-1]


@pytest.fixture
def her_shop(made_once: tuple[Path, str], tmp_path: Path) -> tuple[Path, str]:
    """A shop's folder, and the number of the customer in it."""
    made, number = made_once
    return Path(shutil.copytree(made, tmp_path / "var")), number


@pytest.mark.skipif("postgres" in os.environ.get("DATABASE_URL", ""), reason="files of SQLite")
def test_no_byte_on_the_disk_names_an_erased_customer(her_shop: tuple[Path, str]) -> None:
    var, number = her_shop
    assert [path.name for path in files_with(WORDS, var)] == ["s.sqlite3"]
    assert len(list((var / "media").rglob("*.jpg"))) == 2
    manage(var, "erase_customer", number, "--yes")
    assert files_with(WORDS, var) == []
    assert list((var / "media").rglob("*.jpg")) == []
    assert number in (var / "erased.jsonl").read_text()


@pytest.mark.skipif("postgres" in os.environ.get("DATABASE_URL", ""), reason="files of SQLite")
def test_the_record_that_goes_is_asked_who_was_erased_before_it_is_replaced(
    her_shop: tuple[Path, str],
) -> None:
    """Erased from another machine of the shop, whose list is not here; and a line that only this
    list has, newer than the backup, is still in it afterwards."""
    var, number = her_shop
    manage(var, "backup")
    (archive,) = (var / "backups").glob("*.tar")
    manage(var, "erase_customer", number, "--yes")
    listed = var / "erased.jsonl"
    listed.write_text(json.dumps(OTHER) + "\n")  # the line of this erasure is lost
    said = manage(var, "restore", str(archive), "--replace")
    assert f"Erased again: {number}." in said
    numbers = [json.loads(line)["number"] for line in listed.read_text().splitlines()]
    assert numbers == ["C-0999", number]
    # The archive and what was kept aside hold the name, the record does not.
    named = {path.name.partition(".before-")[0] for path in files_with(WORDS, var)}
    assert named <= {archive.name}
    assert files_with(WORDS, var / "media") == []
