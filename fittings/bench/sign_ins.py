"""On whose sign-in a paper was issued and its lines checked, where a quick code named somebody.

The work itself is ticked by those who make it, whom no code names.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from fittings.models import Ticket, TicketLine
from patterns.history import PEOPLE


@dataclass(slots=True)
class SignIns:
    """In words, "" or missing where it was one's own; of lines by their keys."""

    issued: str = ""
    checked: dict[int, str] = field(default_factory=dict)


def sign_ins(ticket: Ticket, lines: Iterable[TicketLine]) -> SignIns:
    """One query. A check that a reissue took over from the paper before says nothing here."""
    history: Any = TicketLine.history
    steps = history.filter(ticket_id=ticket.pk).select_related(*PEOPLE).defer("content")
    now, found = {line.pk: line for line in lines}, SignIns()
    # Newest first: of the steps that have a check, the last that is met is the one that made it.
    for step in steps.order_by("-history_id"):
        line = now.get(step.id)
        if step.history_type == "+":
            found.issued = step.history_on
        elif line is not None and line.checked_at and step.checked_at == line.checked_at:
            found.checked[line.pk] = step.history_on
    return found
