"""A record written as a zip file, a piece at a time."""

from __future__ import annotations

import datetime as dt
import io
import json
import zipfile
from collections.abc import Iterable, Iterator
from typing import Any, Final

from fittings.carrying.record import document, photographs_of
from fittings.models import Customer, Ticket
from fittings.paper import ticket_pdf
from fittings.photographs.keeping import Size, load, name_of
from fittings.photographs.taking import digest
from fittings.refusals import Refused

DOCUMENT: Final = "record.json"
SIZES: Final[tuple[Size, ...]] = ("master", "thumb")
Member = tuple[str, bytes]


class _Growing(io.RawIOBase):
    """What a zip file is written into; what has come since the last time is taken out of it."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: list[bytes] = []

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        self.parts.append(bytes(data))
        return len(self.parts[-1])

    def taken(self) -> bytes:
        parts, self.parts = self.parts, []
        return b"".join(parts)


def zipped(members: Iterable[Member]) -> Iterator[bytes]:
    """The pieces of a zip file of these members, in their order."""
    growing = _Growing()
    with zipfile.ZipFile(growing, "w", zipfile.ZIP_DEFLATED) as file:
        for name, data in members:
            pressed = zipfile.ZIP_STORED if name.endswith(".jpg") else zipfile.ZIP_DEFLATED
            file.writestr(name, data, compress_type=pressed)
            yield growing.taken()
    yield growing.taken()


def record_zip(customer: Customer, *, at: dt.datetime) -> Iterator[bytes]:
    """The record of a customer: the document, photographs, papers as PDF."""
    return zipped(_members(customer, at))


def _members(customer: Customer, at: dt.datetime) -> Iterator[Member]:
    said = document(customer, at=at)
    digests = photographs_of(customer)
    said["files"] = [entry for one in digests for entry in _files(one)]
    yield DOCUMENT, as_json(said)
    for one in digests:
        for size in SIZES:
            data = load(one, size)
            if data is not None:
                yield name_of(one, size), data
    yield from _papers(customer)


def members_of(customer: Customer) -> int:
    """About how many members the zip file of a record has: the document, pictures, papers."""
    papers = Ticket.objects.filter(order__customer=customer).count()
    return 1 + len(SIZES) * len(photographs_of(customer)) + papers


def as_json(said: Any) -> bytes:
    return json.dumps(said, ensure_ascii=False, indent=1).encode()


def _files(sha256: str) -> Iterator[dict[str, Any]]:
    for size in SIZES:
        data = load(sha256, size)
        if data is not None:
            name = name_of(sha256, size)
            yield {"name": name, "sha256": digest(data), "bytes": len(data)}


def _papers(customer: Customer) -> Iterator[Member]:
    """The tickets to be read; they are not brought in again: they are drawn from the record."""
    tickets = Ticket.objects.filter(order__customer=customer).select_related("supersedes", "order")
    for ticket in tickets.order_by("pk"):
        later = Ticket.objects.filter(supersedes=ticket).first()
        try:
            pdf = ticket_pdf(ticket, unit="cm", superseded_by=later.revision if later else None)
        except Refused:  # no line of work stands on it
            continue
        yield f"tickets/{ticket.number}-{ticket.revision}.pdf", pdf
