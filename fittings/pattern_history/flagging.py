"""What a paper flags by itself of a garment that its pattern does not know.

At issue: a line that stands on no pattern (`on_pattern` false in its content); it counts from its
tick on, or, never ticked, once the garment is delivered (`GarmentOnlyQuerySet.open`). At the tick:
inlay used by another amount than was reckoned.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final

from django.db.models import Q

from fittings.models import Cause, GarmentOnly, InlayPlace, Ticket, TicketLine
from fittings.pattern_history.garment_only import (
    LEAST_MM,
    mm_of,
    open_anew,
    put_flag,
    settle_against,
)

if TYPE_CHECKING:
    from fittings.models.unsettled import GarmentOnlyQuerySet
    from tailorshop.models import User

Work = tuple[str, str, str]

_REISSUED: Final = "Reissued: see"
_AGAIN: Final = "Worked again: see"


def flag_ticket(ticket: Ticket) -> None:
    """At issue: every line that stands on no pattern, and inlay that a line done before has used.

    What the papers before had flagged so and nobody settled goes with them, but for what was worked
    and the new paper has otherwise: the garment has the old work until the new is ticked.
    """
    by, at = ticket.issued_by, ticket.issued_at
    lines = list(ticket.lines.all())
    known = _settled_before(ticket)
    for flag in _flags_before(ticket).unsettled():
        old = flag.line
        if old is None or old.done_at is None or _work(old) in map(_work, lines):
            settle_against(flag, f"{_REISSUED} {ticket}.", by=by, at=at)
    for line in lines:
        if not line.content.get("on_pattern", True) and _work(line) not in known:
            _flag_line(line, by=by, at=at)
        if line.done_at is not None:
            flag_inlay(line, by=by, at=at)


def flag_tick(line: TicketLine, *, by: User, at: dt.datetime) -> None:
    """At the tick: inlay used otherwise; and what a paper before had at the same place is worked
    over. At a tick taken back that stands open again."""
    again = f"{_AGAIN} {line.ticket}."
    before = [flag for flag in _flags_before(line.ticket) if _is_same_place(flag.line, line)]
    for flag in before:
        if line.done_at is not None and not flag.settled:
            settle_against(flag, again, by=by, at=at)
        elif line.done_at is None and flag.settled_reason == again:
            open_anew(flag)
    flag_inlay(line, by=by, at=at)


def _flags_before(ticket: Ticket) -> GarmentOnlyQuerySet:
    """Flags of the earlier revisions, but for the amounts that the fitter noted."""
    rows = GarmentOnly.objects.filter(
        line__ticket__number=ticket.number, line__ticket__revision__lt=ticket.revision
    )
    return rows.exclude(cause=Cause.OTHER_AMOUNT).select_related("line")


def _settled_before(ticket: Ticket) -> set[Work]:
    """The work of which somebody settled the flag on an earlier paper: it is not asked again."""
    rows = _flags_before(ticket).filter(cause=Cause.NOT_ON_PATTERN).exclude(settled="")
    by_itself = Q(settled_reason__startswith=_REISSUED) | Q(settled_reason__startswith=_AGAIN)
    return {_work(flag.line) for flag in rows.exclude(by_itself) if flag.line}


def _work(line: TicketLine) -> Work:
    """Side, key and title with the amount: the very same work, as `ticketing` carries ticks."""
    return line.side, line.content.get("key", ""), line.content["title"]


def _is_same_place(old: TicketLine | None, line: TicketLine) -> bool:
    return old is not None and _work(old)[:2] == _work(line)[:2]


def _flag_line(line: TicketLine, *, by: User, at: dt.datetime) -> None:
    move: dict[str, str] = next(iter(line.content.get("moves", ())), {})
    put_flag(
        line,
        Cause.NOT_ON_PATTERN,
        what=_without_amount(line.content["title"]),
        place=", ".join(part for part in (move.get("piece"), move.get("edge")) if part),
        amount_mm=mm_of(line.content.get("shift_mm", 0)),
        by=by,
        at=at,
    )


def flag_inlay(line: TicketLine, *, by: User, at: dt.datetime) -> None:
    """Inlay used by a ticked line that is not what was reckoned; unticked, its flags go."""
    for use in line.inlay_uses.all():
        place = str(InlayPlace(use.place).label)
        more = (use.planned_mm if use.used_mm is None else use.used_mm) - use.planned_mm
        if abs(more) >= LEAST_MM:
            what = f"{'more' if more > 0 else 'less'} inlay used than was reckoned"
            put_flag(
                line, Cause.OTHER_INLAY, what=what, place=place, amount_mm=abs(more), by=by, at=at
            )
            continue
        for flag in line.garment_only.open().filter(cause=Cause.OTHER_INLAY, place=place):
            settle_against(flag, "The line was ticked anew, as reckoned.", by=by, at=at)


def _without_amount(title: str) -> str:
    """The words of a title whose amount is told beside it."""
    words, _, last = title.rpartition(", ")
    return words if words and last.endswith(" mm") else title
