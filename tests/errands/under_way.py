"""Errands as tests ask for them, begin them and find their files."""

import datetime as dt
from typing import Any

from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from fittings.errands import under_way
from fittings.models import Errand

NOW = timezone.now


def ask_month(client: Client, identity: str = "", month: str = "2026-03") -> Any:
    said = {"month": month, "asked_as": identity}
    return client.post(reverse("glance-month"), said)


def files() -> list[str]:
    if not default_storage.exists("errands"):
        return []
    folders = default_storage.listdir("errands")[0]
    return [name for one in folders for name in default_storage.listdir(f"errands/{one}")[1]]


def at_work() -> tuple[Errand, Any]:
    """The one errand as a worker that has just begun it has it, and its row in the queue."""
    row = DBTaskResult.objects.get()
    row.claim("worker")
    begun = under_way.begin(Errand.objects.get().pk, worker="worker")
    assert begun is not None
    DBTaskResult.objects.update(started_at=NOW() - dt.timedelta(hours=1))
    return begun, row
