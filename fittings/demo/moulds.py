"""What was fitted in the demo shop, as moulds from which a big shop is cast."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Self

from fittings.models import Decision, Entry, Measurement, Ticket, TicketLine

ENTRIES: Final = 5
# Of the demo shop's papers those with as few lines as most have.
_MOST_LINES: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Mould:
    """One fitting of the demo shop from the pattern before it to the ticket after it.

    `entries`: exactly ENTRIES of (side, kind, data); `changes`, `before` and `after` as a pattern
    version keeps them; `content` and `lines` as the ticket keeps them.
    """

    before: dict[str, Any]
    after: dict[str, Any]
    changes: Any
    entries: tuple[tuple[str, str, dict[str, Any]], ...]
    decisions: tuple[Decision, ...]
    content: dict[str, Any]
    lines: tuple[TicketLine, ...]

    @classmethod
    def of(cls, ticket: Ticket) -> Self:
        before, after = ticket.pattern_before, ticket.pattern_after
        if before is None or after is None:
            raise ValueError("A mould is taken of a ticket that changed a pattern.")
        return cls(
            before=before.sides,
            after=after.sides,
            changes=after.changes,
            entries=_filled(list(ticket.fitting.entries.standing())),
            decisions=tuple(ticket.fitting.decisions.standing()),
            content=ticket.content,
            lines=tuple(ticket.lines.all()),
        )


def _filled(entries: list[Entry]) -> tuple[tuple[str, str, dict[str, Any]], ...]:
    """Filled up with notes, which change nothing of what is proposed."""
    seen = [(entry.side, entry.kind, entry.data) for entry in entries]
    notes = [("", "note", {"text": f"Said at the fitting, {n}."}) for n in range(ENTRIES)]
    return (*seen, *notes)[:ENTRIES]


def moulds() -> list[Mould]:
    """Of every ticket that can be one, oldest first; at least one in the demo shop."""
    tickets = Ticket.objects.filter(
        revision=1, order__garment="coat", pattern_after__isnull=False, order__stage="delivered"
    ).select_related("fitting", "pattern_before", "pattern_after")
    found = [Mould.of(ticket) for ticket in tickets.order_by("pk")]
    return [
        mould
        for mould in found
        if len(mould.lines) <= _MOST_LINES and mould.entries[-1][1] == "note"
    ]


def measures() -> list[Measurement]:
    """One set of measures of the demo shop."""
    first = Measurement.objects.order_by("pk")[0]
    return list(Measurement.objects.filter(measurement_set=first.measurement_set_id))
