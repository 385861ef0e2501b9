"""`manage.py suggest` as scripts use it: a process, its exit code and its two streams."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.rules.test_document import document

ROOT = Path(__file__).resolve().parents[2]


def suggest(name: str, text: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", "suggest", name],
        cwd=ROOT,
        input=text,
        capture_output=True,
        text=True,
        check=False,
    )


def test_suggest_answers_a_document_from_standard_input() -> None:
    reading = {"id": "a", "what": "pitch", "cuff_offset_mm": 63, "drop_mm": 600}
    done = suggest("-", json.dumps(document(reading)))
    (correction,) = json.loads(done.stdout)["corrections"]
    assert done.returncode == 0
    assert correction["operation"] == "pitch"
    assert correction["shift_mm"] == pytest.approx(7.992, abs=1e-3)  # arctan(63/600) of 480 mm
    assert correction["from"] == ["a"]


def test_suggest_answers_a_file(tmp_path: Path) -> None:
    path = tmp_path / "sleeve.json"
    path.write_text(json.dumps(document()), "utf-8")
    done = suggest(str(path))
    assert done.returncode == 0
    assert json.loads(done.stdout)["corrections"] == []


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("{", 1),
        (json.dumps(document(side="middle")), 1),
        (json.dumps(document({"id": "a", "what": "pitch"}, side="middle")), 2),
    ],
)
def test_suggest_exits_2_with_one_line_per_fault_and_nothing_on_stdout(
    text: str, lines: int
) -> None:
    done = suggest("-", text)
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == lines
    assert all(line.startswith("$") for line in done.stderr.splitlines())


def test_suggest_says_when_there_is_no_such_file() -> None:
    done = suggest("no-such-file.json")
    assert done.returncode == 2
    assert "cannot be read" in done.stderr
    assert done.stdout == ""


def test_suggest_answers_all_readings_together_when_asked() -> None:
    readings = (
        {"id": "a", "what": "pitch", "cuff_offset_mm": 63, "drop_mm": 600},
        {"id": "b", "what": "elbow_direction", "turn_deg": 9},
    )
    text = json.dumps(document(*readings))
    done = subprocess.run(
        [sys.executable, "manage.py", "suggest", "-", "--together"],
        cwd=ROOT,
        input=text,
        capture_output=True,
        text=True,
        check=True,
    )
    together = json.loads(done.stdout)["together"]
    assert together["closed"] is True
    assert {c["operation"] for c in together["corrections"]} == {"pitch", "seam_shift"}
