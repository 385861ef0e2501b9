"""A drawing is drawn once for what it is drawn from, and anew for anything else."""

from pathlib import Path
from typing import Any

import pytest

from patterns.geometry.refusals import BadMeasure
from patterns.kept_drawings import kept


@pytest.fixture(autouse=True)
def _own_store(settings: Any, tmp_path: Path) -> None:
    store = settings.CACHES["drawings"] | {"LOCATION": tmp_path}
    settings.CACHES = settings.CACHES | {"drawings": store}


def test_kept_draws_once_for_the_same_inputs_because_a_version_never_changes() -> None:
    drawn: list[int] = []

    def draw() -> list[str]:
        drawn.append(1)
        return [f"drawing {len(drawn)}"]

    assert kept("plates", {"a": 1, "b": 2}, draw=draw) == ["drawing 1"]
    assert kept("plates", {"b": 2, "a": 1}, draw=draw) == ["drawing 1"]
    assert kept("plates", {"a": 1, "b": 3}, draw=draw) == ["drawing 2"]
    assert kept("views", {"a": 1, "b": 2}, draw=draw) == ["drawing 3"]


def test_kept_refuses_again_what_cannot_be_drawn() -> None:
    def refuse() -> list[str]:
        raise BadMeasure("too narrow")

    for _ in range(2):
        with pytest.raises(BadMeasure):
            kept("plates", "narrow", draw=refuse)


def test_kept_draws_without_a_store_that_can_be_written(settings: Any, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    store = settings.CACHES["drawings"] | {"LOCATION": tmp_path / "file"}
    settings.CACHES = settings.CACHES | {"drawings": store}

    assert kept("plates", 1, draw=lambda: ["drawn"]) == ["drawn"]
