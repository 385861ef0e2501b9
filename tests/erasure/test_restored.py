"""A backup from before an erasure is put back: whoever was erased since stays erased."""

import json
import os
from pathlib import Path

import pytest

from fittings.erasing.traces import files_with
from tests.erasure.test_files import SHOP, WORDS, manage

OTHER = {"customer": 999, "number": "C-0999", "on": "2026-03-02", "what": ""}


@pytest.mark.skipif("postgres" in os.environ.get("DATABASE_URL", ""), reason="files of SQLite")
def test_the_record_that_goes_is_asked_who_was_erased_before_it_is_replaced(tmp_path: Path) -> None:
    """Erased from another machine of the shop, whose list is not here; and a line that only this
    list has, newer than the backup, is still in it afterwards."""
    manage(tmp_path, "migrate", "-v0")
    number = manage(tmp_path, "shell", "-v0", "-c", SHOP).split()[-1]
    manage(tmp_path, "backup")
    (archive,) = (tmp_path / "backups").glob("*.tar")
    manage(tmp_path, "erase_customer", number, "--yes")
    listed = tmp_path / "erased.jsonl"
    listed.write_text(json.dumps(OTHER) + "\n")  # the line of this erasure is lost
    said = manage(tmp_path, "restore", str(archive), "--replace")
    assert f"Erased again: {number}." in said
    numbers = [json.loads(line)["number"] for line in listed.read_text().splitlines()]
    assert numbers == ["C-0999", number]
    # The archive and what was kept aside hold the name, the record does not.
    named = {path.name.partition(".before-")[0] for path in files_with(WORDS, tmp_path)}
    assert named <= {archive.name}
    assert files_with(WORDS, tmp_path / "media") == []
