"""A signed fitting becomes a work ticket and a new version of the pattern, in one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from django.db import transaction

from fittings.bench import inlay_account
from fittings.fitting_room.decisions import check_all_decided
from fittings.fitting_room.proposals import SideProposals, every_side
from fittings.gate import Failing, check_walks, newly_failing
from fittings.models import Decision, Fitting, Order, Side, Ticket, TicketLine
from fittings.models.kept import numbered
from fittings.pattern_history.flagging import flag_ticket
from fittings.photographs.attached import attached
from fittings.refusals import Refused
from fittings.ticketing.content import content_of, is_on_pattern
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.rules.pattern import Change, SidePattern
from patterns.versions import RetiredPattern, next_version

if TYPE_CHECKING:
    from tailorshop.models import User


def check_can_issue(fitting: Fitting, sides: Sequence[SideProposals] = ()) -> None:
    """Refuse (Refused) in the sentence that the button shows; `sides` as `every_side` has them,
    where they are at hand."""
    if not fitting.is_signed:
        raise Refused("Sign the fitting first: the ticket says what was signed.")
    newest = fitting.tickets.newest().first()
    if newest is not None:
        raise Refused(f"Ticket {newest} is issued for this fitting: reissue it to change it.")
    sides = sides or every_side(fitting)
    check_all_decided(sides)
    before = fitting.read_against
    if before is not None:
        _check_still_cut_from(fitting.order, before)
    if not _worked(sides):
        raise Refused("Nothing is to be done: no correction was accepted at this fitting.")


def _check_still_cut_from(order: Order, version: PatternVersion) -> None:
    """Refuse (Refused) what would leave out work ticketed since: `version` is what it knows of."""
    order = Order.objects.select_related("pattern_version__pattern").get(pk=order.pk)
    now = order.pattern_version
    if now is None or now.pk == version.pk:
        return
    later = order.tickets.filter(pattern_after=now).first()
    by = f" by ticket {later}" if later else ""
    raise Refused(
        f"The garment is at {now} since{by}, and this was read on version {version.number}: "
        "it would undo that work. Read the sleeve again at a new fitting."
    )


def failing_checks(fitting: Fitting, sides: Sequence[SideProposals] = ()) -> list[Failing]:
    """What the pattern would fail that it passes now, were the first paper issued: [] if nothing.
    `sides` as `every_side` has them, where they are at hand.

    Where it is not empty, `issue` wants `reason_despite_checks`. Never refuses: what cannot be made
    at all is said by `issue`.
    """
    before, decisions = fitting.read_against, _worked(sides or every_side(fitting))
    if before is None or not decisions:
        return []
    try:
        changed = _changed(before, _changes(decisions))
    except Refused:
        return []
    return newly_failing(fitting, before.sides, changed, decisions)


def issue(
    fitting: Fitting, *, by: User, at: dt.datetime, reason_despite_checks: str = ""
) -> Ticket:
    """The first paper of a fitting.

    Refuses (Refused) as `check_can_issue`, and a pattern that would fail a check which its parent
    does not fail, unless there is a written reason.
    """
    with transaction.atomic():
        # Two at once, and each would find that there is none yet.
        Fitting.objects.select_for_update(of=("self",)).get(pk=fitting.pk)
        check_can_issue(fitting)
        number = numbered("ticket", "T")
        return _issue(
            fitting,
            fitting.read_against,
            number=number,
            revision=1,
            by=by,
            at=at,
            despite=reason_despite_checks,
        )


def reissue(
    ticket: Ticket,
    *,
    by: User,
    at: dt.datetime,
    reason: str,
    reason_despite_checks: str = "",
) -> Ticket:
    """The next revision of a ticket, from what stands now; the old paper is superseded.

    Refuses (Refused) without a reason, or where a later revision exists already, and as `issue`
    a pattern that would fail its checks.
    """
    if not reason.strip():
        raise Refused("Say why it is reissued: the workroom reads it beside the old paper.")
    with transaction.atomic():
        # As it stands now, and nobody ticks a line of it meanwhile: what a line took would be given
        # back and taken once more.
        ticket = Ticket.objects.select_for_update(of=("self",)).get(pk=ticket.pk)
        lines = list(ticket.lines.select_for_update(of=("self",)))
        later = Ticket.objects.filter(supersedes=ticket).first()
        if later is not None:
            raise Refused(f"{later} supersedes this paper already: reissue that one.")
        if ticket.pattern_after is not None:
            _check_still_cut_from(ticket.order, ticket.pattern_after)
        sides = every_side(ticket.fitting)
        check_all_decided(sides)
        if not _worked(sides):
            raise Refused("No accepted correction stands at this fitting: there is no work.")
        for line in lines:
            inlay_account.give_back(line)
        return _issue(
            ticket.fitting,
            ticket.pattern_before,
            number=ticket.number,
            revision=ticket.revision + 1,
            by=by,
            at=at,
            supersedes=ticket,
            reason=reason,
            despite=reason_despite_checks,
        )


def _issue(
    fitting: Fitting,
    before: PatternVersion | None,
    *,
    number: str,
    revision: int,
    by: User,
    at: dt.datetime,
    supersedes: Ticket | None = None,
    reason: str = "",
    despite: str = "",
) -> Ticket:
    decisions = _worked(every_side(fitting))
    failing, after = [], None
    changes = _changes(decisions)
    if before is not None and any(changes.values()):
        sides = _changed(before, changes)
        failing = newly_failing(fitting, before.sides, sides, decisions)
        check_walks(failing, despite)
        after = _follow(before, changes, note=f"Ticket {number}, {fitting}", by=by, at=at)
    content = content_of(fitting, before, after, decisions)
    ticket = Ticket.objects.create(
        number=number,
        revision=revision,
        order=fitting.order,
        fitting=fitting,
        issued_at=at,
        issued_by=by,
        content={
            **content,
            **attached(fitting),
            "issued_by": str(by),
            "reason": reason,
            "checks": failing,
            "despite": despite.strip() if failing else "",
        },
        reason=reason,
        supersedes=supersedes,
        pattern_before=before,
        pattern_after=after,
    )
    _write_lines(ticket, content["lines"])
    flag_ticket(ticket)
    # What was only worked on the garment makes no new version: the pattern does not know of it.
    if now := after or (before if supersedes else None):
        order = Order.objects.get(pk=fitting.order_id)
        order.pattern_version = now
        order.save_over(order.version)
    return ticket


def _write_lines(ticket: Ticket, lines: list[dict[str, Any]]) -> None:
    """The lines with the inlay they take; what was ticked on the paper before stays ticked."""
    for position, content in enumerate(lines, start=1):
        old = _done_before(ticket.supersedes, content)
        line = TicketLine.objects.create(
            ticket=ticket, position=position, side=content["side"], content=content, **_ticks(old)
        )
        inlay_account.take_planned(line)
        if old is not None:
            inlay_account.take_again(old, line)


def _done_before(supersedes: Ticket | None, content: dict[str, Any]) -> TicketLine | None:
    """The line of the paper before with the very same work, so that nobody does it twice."""
    for old in supersedes.lines.all() if supersedes else ():
        if all(old.content[name] == content[name] for name in ("side", "key", "title")):
            return old
    return None


def _ticks(old: TicketLine | None) -> dict[str, Any]:
    names = ("done_by_id", "done_at", "minutes", "checked_by_id", "checked_at")
    return {name: getattr(old, name) for name in names} if old else {}


def _worked(sides: Sequence[SideProposals]) -> list[Decision]:
    """What was decided to be worked and is still asked for, in the order of proposals."""
    return [
        proposed.decision
        for side in sides
        for proposed in side.all_proposed
        if proposed.decision and proposed.is_decided and proposed.decision.outcome
    ]


def _changes(decisions: list[Decision]) -> dict[str, list[Change]]:
    """What is to be worked on each side, as the pattern takes it."""
    return {
        side.value: [
            Change.read(d.outcome)
            for d in decisions
            if d.side == side and d.outcome and is_on_pattern(d.outcome)
        ]
        for side in (Side.LEFT, Side.RIGHT)
    }


def _changed(before: PatternVersion, changes: dict[str, list[Change]]) -> dict[str, Any]:
    """The sides as the changes would make them. Refuses (Refused) what cannot be made."""
    sides = {}
    for side, wanted in changes.items():
        try:
            sides[side] = SidePattern.read(before.sides[side]).with_changes(*wanted).written()
        except GeometryRefused as refused:
            raise Refused(f"{Side(side).label}: {refused}") from None
    return sides


def _follow(
    before: PatternVersion,
    changes: dict[str, list[Change]],
    *,
    note: str,
    by: User,
    at: dt.datetime,
) -> PatternVersion:
    """The pattern with the corrections applied; the one before stays as it is."""
    try:
        return next_version(before, changes, note=note, by=by, at=at)
    except RetiredPattern as refused:
        raise Refused(str(refused)) from None
