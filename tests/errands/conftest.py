import pytest
from django.utils import timezone

from fittings.errands import kinds, queue
from fittings.models import AtWork


@pytest.fixture
def worker(db: None) -> None:
    """Somebody is said to be at work, so that nothing is done in a request."""
    AtWork.objects.create(name="worker", seen_at=timezone.now() + queue.DEAD_AFTER / 2)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """A month on paper without its sheets."""
    monkeypatch.setattr(kinds, "month_pdf", lambda *said: b"%PDF of a month")


@pytest.fixture
def one_connection(monkeypatch: pytest.MonkeyPatch) -> None:
    """The worker shares the connection of the test, in whose transaction all stands."""
    where = "django_tasks_db.management.commands.db_worker.close_old_connections"
    monkeypatch.setattr(where, lambda: None)
