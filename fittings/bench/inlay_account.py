"""Inlay that the lines of tickets take out of an order: one account for each line and place.

`taken_mm` of a use and `left_mm` of the order's inlay only move together, here, inside the caller's
transaction: what a line takes is carried once, and comes back exactly as it was taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fittings.models import InlayPlace, InlayUse, Order, OrderInlay, TicketLine
from fittings.refusals import MoreThanLeft
from fittings.units import format_length

if TYPE_CHECKING:
    from fittings.units import Entered

TENTH: Final = Decimal("0.1")
NOTHING: Final = Decimal(0)


def planned(line: TicketLine) -> dict[str, Decimal]:
    """What the paper says a line needs, mm by place."""
    needs: Counter[str] = Counter()
    for need in line.content.get("inlay", ()):
        needs[need["place"]] += need["needed_mm"]
    return {place: Decimal(str(mm)).quantize(TENTH) for place, mm in needs.items()}


def uses_of(line: TicketLine) -> list[InlayUse]:
    """The accounts of a line. A paper from before there were any took what it planned."""
    kept = list(line.inlay_uses.all())
    if kept:
        return kept
    return [
        InlayUse.objects.create(line=line, place=place, planned_mm=mm, taken_mm=mm)
        for place, mm in planned(line).items()
    ]


def take_planned(line: TicketLine) -> None:
    """At issue: what the paper plans is taken, never below nothing."""
    for place, mm in planned(line).items():
        _move(InlayUse(line=line, place=place, planned_mm=mm), mm)


def take_used(line: TicketLine, used: Mapping[str, Entered], *, really: bool) -> None:
    """What was really used takes the place of what was planned; places not named: as planned.

    Refuses (MoreThanLeft) more than the record has left, unless `really` so.
    """
    uses = uses_of(line)
    for use in uses:
        entered = used.get(use.place)
        use.used_mm = entered.mm.quantize(TENTH) if entered else use.planned_mm
        use.as_entered = entered.as_entered if entered else ""
        use.unit = entered.unit if entered else ""
        if entered and not really:
            _check_there(use, entered.unit)
        _move(use, use.used_mm)
    _order_changed(uses)


def take_again(old: TicketLine, new: TicketLine) -> None:
    """A reissued line that was done on the paper before has used what it used then."""
    used = {use.place: use for use in old.inlay_uses.all()}
    for use in new.inlay_uses.all():
        before = used.get(use.place)
        if before is not None and before.used_mm is not None:
            use.used_mm, use.as_entered, use.unit = before.used_mm, before.as_entered, before.unit
            _move(use, before.used_mm)


def back_to_plan(line: TicketLine) -> None:
    """The tick is taken back: what was written goes with it, what was planned stays taken."""
    uses = uses_of(line)
    for use in uses:
        use.used_mm, use.as_entered, use.unit = None, "", ""
        _move(use, use.planned_mm)
    _order_changed(uses)


def give_back(line: TicketLine) -> None:
    """The paper is superseded: all that its line has taken is there again."""
    for use in uses_of(line):
        _move(use, NOTHING)


def room_mm(use: InlayUse) -> Decimal | None:
    """What this line could take at most, mm; None where nobody wrote down what was left."""
    inlays = _inlays(use)
    return min(inlay.left_mm for inlay in inlays) + use.taken_mm if inlays else None


def _check_there(use: InlayUse, unit: str) -> None:
    room, used = room_mm(use), use.used_mm or NOTHING
    if room is not None and used > room:
        place = InlayPlace(use.place).label
        raise MoreThanLeft(
            f"{format_length(used, unit)} is more than the record has left at the {place}: "
            f"{format_length(room, unit)}. Measure it again; if it is really so, say so below and "
            "tick once more."
        )


def _move(use: InlayUse, wanted_mm: Decimal) -> None:
    """Let this use have `wanted_mm` out of the order's inlay, or as much as there is.

    What is worked on the garment as a whole takes it out of both sides.
    """
    inlays, before = _inlays(use), use.taken_mm
    room = min((inlay.left_mm for inlay in inlays), default=-before) + before
    use.taken_mm = min(wanted_mm, room)
    use.save()
    for inlay in inlays:
        left = min(inlay.as_cut_mm, inlay.left_mm + before - use.taken_mm)
        if inlay.left_mm != left:
            inlay.left_mm = left
            inlay.save(update_fields=["left_mm"])


def _inlays(use: InlayUse) -> list[OrderInlay]:
    """The order's inlay as it stands on the side of the line, or on both where it has none; held
    until the transaction ends."""
    rows = OrderInlay.objects.filter(order__tickets=use.line.ticket_id, place=use.place)
    if use.line.side:
        rows = rows.filter(side=use.line.side)
    return list(rows.select_for_update(of=("self",)))


def _order_changed(uses: list[InlayUse]) -> None:
    """Who has the order's inlays open must look again: its version moves on."""
    for use in uses[:1]:
        held = Order.objects.select_for_update(of=("self",))
        order = held.get(pk=use.line.ticket.order_id)
        order.save_over(order.version)
