"""The restore drill, really done: seed, back up while somebody writes, wipe, restore, compare.

Run as a program of its own (`PROGRAM`), so that the settings it stands on are those of an
installation: TAILORSHOP_VAR and DATABASE_URL. Prints what it found.
"""

from __future__ import annotations

import json
import os
import shutil
import threading
import uuid
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.db import connection, connections
from django.db.models import QuerySet
from django.utils import timezone
from PIL import Image

from fittings.demo.shop import open_shop
from fittings.fitting_room.entries import add_entry
from fittings.models import Entry, EntryKind, Fitting, Photograph, Side, Ticket
from fittings.paper import ticket_pdf
from fittings.photographs.keeping import load
from tailorshop.models import User


def digest_of_table(table: str) -> str:
    """Of all its rows, in an order that does not hang on how they lie in the file."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT * FROM {table}")  # noqa: S608
        rows = sorted(repr(row) for row in cursor.fetchall())
    return sha256("\n".join(rows).encode()).hexdigest()


def digests() -> dict[str, str]:
    with connection.cursor() as cursor:
        tables = connection.introspection.table_names(cursor)
    return {table: digest_of_table(table) for table in tables}


class Writer(threading.Thread):
    """Enters one reading after the other until it is told to stop."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.stopped, self.kept = threading.Event(), 0
        self.under_way = threading.Event()

    def run(self) -> None:
        fitting, by = Fitting.objects.filter(signed_at=None).first(), User.objects.first()
        assert fitting is not None
        assert by is not None
        while not self.stopped.is_set():
            add_entry(
                fitting,
                side=Side.BODY,
                kind=EntryKind.CHECK,
                data={"check": "balance", "state": "open"},
                by=by,
                made_at=timezone.now(),
                identity=uuid.uuid4(),
            )
            self.kept += 1
            self.under_way.set()
        connections.close_all()


def written() -> QuerySet[Entry]:
    return Entry.objects.filter(data__check="balance", data__state="open")


def wipe() -> None:
    if connection.vendor == "sqlite":
        connections.close_all()
        for file in settings.VAR_DIR.glob("shop.sqlite3*"):
            file.unlink()
    else:
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE; CREATE SCHEMA public")
    shutil.rmtree(settings.MEDIA_ROOT)
    connections.close_all()


def drill(folder: Path) -> dict[str, Any]:
    call_command("migrate", verbosity=0)
    open_shop()
    Session.objects.create(session_key="of-a-lost-tablet", expire_date=timezone.now())
    at_first = written().count()
    writer = Writer()
    writer.start()
    writer.under_way.wait(30)
    begun = writer.kept
    call_command("backup", to=folder, verbosity=0, stdout=open(os.devnull, "w"))  # noqa: SIM115
    during = writer.kept
    writer.stopped.set()
    writer.join()
    call_command("backup", to=folder / "quiet", stdout=open(os.devnull, "w"))  # noqa: SIM115
    before = digests()
    quiet = next((folder / "quiet").glob("*.tar"))
    wipe()
    call_command("restore", quiet, stdout=open(os.devnull, "w"))  # noqa: SIM115
    left_signed_in = Session.objects.count()
    after = digests()
    opened = [_opens(load(p.sha256)) for p in Photograph.objects.all()]
    pdf = ticket_pdf(Ticket.objects.order_by("pk")[0], unit="cm")
    # The one taken while somebody wrote goes over it: what it holds is a moment of that writing.
    busy = next(folder.glob("*.tar"))
    call_command("restore", busy, replace=True, stdout=open(os.devnull, "w"))  # noqa: SIM115
    return {
        "begun": begun,
        "ended": during,
        "in_busy": written().count() - at_first,
        "same": {t for t in before if before[t] != after.get(t)} == {Session._meta.db_table},
        "left_signed_in": left_signed_in,
        "tables": len(before),
        "photographs": opened,
        "pdf": pdf[:5].decode(),
        "asides": sorted(p.name for p in settings.VAR_DIR.rglob("*") if _aside(p)),
    }


def _aside(path: Path) -> bool:
    return ".before-" in path.name or path.parent.name == "aside"


def _opens(data: bytes | None) -> bool:
    if data is None:
        return False
    with Image.open(BytesIO(data)) as image:
        image.load()
        return image.width > 0


def main(folder: str) -> None:
    print(json.dumps(drill(Path(folder))))
