"""Steps after the baseline lose nothing and have a way back, on the engine of this run."""

from typing import Any

import pytest
from django.db.migrations.loader import MigrationLoader

from tests.steps.lint import BASELINE, complained_of

pytestmark = pytest.mark.django_db(transaction=True)


def test_no_step_since_the_baseline_is_complained_of() -> None:
    assert complained_of(BASELINE) == []


def test_the_baseline_names_steps_that_there_are() -> None:
    assert set(BASELINE.items()) <= set(MigrationLoader(None).disk_migrations)


def test_a_step_that_loses_a_column_or_has_no_way_back_is_complained_of(
    settings: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    settings.INSTALLED_APPS = [*settings.INSTALLED_APPS, "tests.steps.careless"]
    assert complained_of({"careless": "0001_first"}) == [
        "careless.0003_loses_words",
        "careless.0004_no_way_back",
    ]
    said = capsys.readouterr().out
    assert "DROPPING columns" in said
    assert "0002_careful" not in said
