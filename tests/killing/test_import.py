"""`import_shop` killed at every place in turn: the shop is there whole or not at all, and running
it again brings it in. `DRILLS=1 KILLS=30 pytest tests/killing/test_import.py`, by hand."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import time
from pathlib import Path

import pytest

from tests.killing.test_killing import KILLS, SEED
from tests.running.installation import Installation
from tests.running.processes import HERE

pytestmark = [
    pytest.mark.killing,
    pytest.mark.skipif("DRILLS" not in os.environ, reason="a drill by hand: DRILLS=1"),
]
TABLES = (
    "tailorshop_user",
    "fittings_customer",
    "fittings_fitting",
    "fittings_ticketline",
    "patterns_patternversion",
    "fittings_historicalentry",
    "fittings_findable",
)


def counted(place: Installation) -> dict[str, int]:
    return {name: place.rows(f"SELECT COUNT(*) FROM {name}")[0][0] for name in TABLES}  # noqa: S608


def files(place: Installation) -> set[str]:
    return {path.name for path in (place.folder / "media").rglob("*") if path.is_file()}


def done(place: Installation, *words: str) -> str:
    ended = place.manage(*words, seconds=600)
    assert ended.returncode == 0, ended.stderr
    return ended.stdout


def killed_after(place: Installation, file: Path, lines: int, wait_s: float) -> bool:
    """Whether it was killed, so many lines after its begin, before it had ended."""
    begun = subprocess.Popen(
        place.command("import_shop", str(file)),
        cwd=HERE,
        env=place.env | {"PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    assert begun.stdout is not None
    for _ in range(lines):
        begun.stdout.readline()
    time.sleep(wait_s)
    begun.kill()
    begun.stdout.close()
    return begun.wait() != 0


def test_a_killed_import_leaves_the_whole_shop_or_an_empty_one(tmp_path: Path) -> None:
    at, file = random.Random(SEED), tmp_path / "shop.zip"  # noqa: S311
    old = Installation(folder=tmp_path / "old")
    done(old, "migrate", "-v0")
    done(old, "demo")
    done(old, "export_shop", str(file))
    erased = old.rows("SELECT id, number FROM fittings_customer ORDER BY id LIMIT 1")[0]
    gone = {"customer": erased[0], "number": erased[1], "on": "2026-03-02"}
    empty = Installation(folder=tmp_path / "empty")
    done(empty, "migrate", "-v0")
    (empty.folder / "erased.jsonl").write_text(json.dumps(gone) + "\n")
    full, lines, kept = None, 0, set[str]()
    ends = {"whole": 0, "empty": 0}
    for number in range(-1, KILLS):
        place = Installation(folder=tmp_path / f"new-{number}")
        shutil.copytree(empty.folder, place.folder)
        if full is None:  # once to its end, to know what whole is
            lines = len(done(place, "import_shop", str(file)).splitlines())
            full, kept = counted(place), files(place)
            assert place.rows("SELECT COUNT(*) FROM fittings_erasure")[0][0] > 0
            continue
        killed_after(place, file, at.randint(0, lines), at.uniform(0, 0.05))
        there = counted(place)
        assert there == full or set(there.values()) == {0}, there
        ends["whole" if there == full else "empty"] += 1
        again = place.manage("import_shop", str(file), seconds=600)
        if there == full:
            assert "Something is kept here already" in again.stderr
        else:
            assert again.returncode == 0, again.stderr
        assert counted(place) == full
        done(place, "sweep_photographs", "--grace-hours", "0")
        assert files(place) == kept
    print(f"{KILLS} kills of an import that writes {lines} lines: {ends}")
