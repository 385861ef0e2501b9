"""Files that no row names any more: left when a machine stopped between the file and the row."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from typing import Any, Final

from django.core.files.storage import default_storage

from fittings.models import Photograph, Ticket
from fittings.photographs.keeping import name_of
from patterns.bringing.picture import left_behind

# Longer than any request, and than a device that sends the same photograph once more.
GRACE: Final = dt.timedelta(days=2)
_OURS: Final = re.compile(r"[0-9a-f]{64}(-small)?\.jpg")
# Half of one: its machine stopped while it was written.
_BEGUN: Final = re.compile(r"\.[0-9a-f]{64}(-small)?\.jpg\.\w+\.part")


def named() -> set[str]:
    """Every digest that a row, its history or a ticket names."""
    model: Any = Photograph
    digests = set(Photograph.objects.values_list("sha256", flat=True))
    digests |= set(model.history.values_list("sha256", flat=True))
    for content in Ticket.objects.values_list("content", flat=True).iterator():
        digests |= {said["sha256"] for said in content.get("photographs", ())}
    return digests


def missing() -> list[str]:
    """Digests of standing photographs whose file is not there whole or at all."""
    rows = Photograph.objects.values_list("sha256", flat=True)
    return [one for one in rows if not default_storage.exists(name_of(one))]


def sweep(now: dt.datetime, *, grace: dt.timedelta = GRACE, dry_run: bool = False) -> list[str]:
    """Delete files of photographs that nothing names, once older than the grace; returns them.

    Pictures of paper patterns that somebody began to bring in and left are among them.
    """
    # Looked at before the rows are read: a file that came since cannot be among them.
    old = [name for name in _files() if now - default_storage.get_modified_time(name) > grace]
    known = named()
    gone = [name for name in old if name.rpartition("/")[2][:64] not in known]
    gone += left_behind(now, grace)
    for name in gone:
        if not dry_run:
            default_storage.delete(name)
    return gone


def _files() -> Iterator[str]:
    try:
        folders, _ = default_storage.listdir("photographs")
    except FileNotFoundError:
        return
    for folder in folders:
        for name in default_storage.listdir(f"photographs/{folder}")[1]:
            if _OURS.fullmatch(name) or _BEGUN.fullmatch(name):
                yield f"photographs/{folder}/{name}"
