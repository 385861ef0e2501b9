"""What the workroom does with an issued ticket: a line is done by one and checked by another."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final

from django.db import transaction
from django.utils import timezone

from fittings.bench import inlay_account
from fittings.models import Ticket, TicketLine
from fittings.pattern_history.flagging import flag_tick
from fittings.refusals import Frozen, Refused

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fittings.units import Entered
    from tailorshop.models import User

MAKERS: Final = frozenset({"workroom", "owner"})
MOST_MINUTES: Final = 600


def superseding(ticket: Ticket) -> int | None:
    """The newest revision of this number, where this paper is no longer it."""
    newer = Ticket.objects.filter(number=ticket.number, revision__gt=ticket.revision)
    return newer.order_by("-revision").values_list("revision", flat=True).first()


def check_can_do(by: User, newest: int | None) -> None:
    """Refuse (Refused, Frozen) in the sentence that stands beside the button.

    `newest` is what `superseding` answers for the ticket.
    """
    check_stands(newest)
    if by.role not in MAKERS:
        raise Refused("The workroom ticks what it has done; you can check it afterwards.")


def check_can_check(line: TicketLine, by: User, newest: int | None) -> None:
    """Refuse (Refused, Frozen) in the sentence that stands beside the button."""
    check_stands(newest)
    if line.done_at is None:
        raise Refused("Nobody has said that this is done yet.")
    if line.done_by_id == by.pk:
        raise Refused("You did this line yourself: let another pair of eyes check it.")


def check_stands(newest: int | None) -> None:
    """Refuse (Frozen) a paper of which `newest` is the later revision, where there is one."""
    if newest is not None:
        raise Frozen(f"Revision {newest} supersedes this paper: work from that one.")


def mark_done(
    line: TicketLine,
    *,
    by: User,
    at: dt.datetime,
    used: Mapping[str, Entered] | None = None,
    really: bool = False,
) -> None:
    """Who did it, and when; said twice is said once. Refuses as `check_can_do`.

    `used`: inlay really used, by place; where nothing is said, what the paper planned. More than
    the record has left is refused (MoreThanLeft) unless it is `really` so.
    """
    with transaction.atomic():
        line = _fresh(line)
        check_can_do(by, superseding(line.ticket))
        if line.done_at is None:
            line.done_at, line.done_by = at, by
            line.save()
            inlay_account.take_used(line, used or {}, really=really)
            flag_tick(line, by=by, at=at)


def note_minutes(line: TicketLine, minutes: int, *, by: User) -> None:
    """How long a line took, by who did it. Refuses (Refused) what cannot be meant."""
    with transaction.atomic():
        line = _fresh(line)
        if line.done_at is None:
            raise Refused("Say first that it is done, then how long it took.")
        _check_own(line.done_by_id, by)
        if not 0 < minutes <= MOST_MINUTES:
            raise Refused(f"Write 1 to {MOST_MINUTES} minutes.")
        line.minutes = minutes
        line.save()


def mark_checked(line: TicketLine, *, by: User, at: dt.datetime) -> None:
    """Who checked it, and when; said twice is said once. Refuses as `check_can_check`."""
    with transaction.atomic():
        line = _fresh(line)
        check_can_check(line, by, superseding(line.ticket))
        if line.checked_at is None:
            line.checked_at, line.checked_by = at, by
            line.save()


def take_back_done(line: TicketLine, *, by: User) -> None:
    """Take back a tick that was wrong. Refuses (Refused) somebody else's, and a checked line."""
    with transaction.atomic():
        line = _fresh(line)
        check_stands(superseding(line.ticket))
        if line.checked_at is not None:
            raise Refused("This line is checked: take the check back first.")
        _check_own(line.done_by_id, by)
        line.done_at, line.done_by, line.minutes = None, None, None
        line.save()
        inlay_account.back_to_plan(line)
        flag_tick(line, by=by, at=timezone.now())


def take_back_check(line: TicketLine, *, by: User) -> None:
    """Take back a check that was wrong. Refuses (Refused) somebody else's."""
    with transaction.atomic():
        line = _fresh(line)
        check_stands(superseding(line.ticket))
        _check_own(line.checked_by_id, by)
        line.checked_at, line.checked_by = None, None
        line.save()


def _check_own(made_by: int | None, by: User) -> None:
    if made_by is not None and made_by != by.pk and by.role != "owner":
        raise Refused("Somebody else ticked this: ask them, or the owner, to take it back.")


def _fresh(line: TicketLine) -> TicketLine:
    """The line as it stands now, held until the transaction ends."""
    rows = TicketLine.objects.select_for_update(of=("self",)).select_related("ticket")
    return rows.get(pk=line.pk)
