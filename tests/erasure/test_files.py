"""A shop on the disk: after erasing, no byte of its folder names the customer any more."""

import os
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


@pytest.mark.skipif("postgres" in os.environ.get("DATABASE_URL", ""), reason="files of SQLite")
def test_no_byte_on_the_disk_names_an_erased_customer(tmp_path: Path) -> None:
    manage(tmp_path, "migrate", "-v0")
    number = manage(tmp_path, "shell", "-v0", "-c", SHOP).split()[-1]
    assert [path.name for path in files_with(WORDS, tmp_path)] == ["s.sqlite3"]
    assert len(list((tmp_path / "media").rglob("*.jpg"))) == 2
    manage(tmp_path, "erase_customer", number, "--yes")
    assert files_with(WORDS, tmp_path) == []
    assert list((tmp_path / "media").rglob("*.jpg")) == []
    assert number in (tmp_path / "erased.jsonl").read_text()
