"""What was altered on a garment and not on its pattern: flagged by itself or by hand, settled once.

Flagged by itself: see `flagging.py`. By hand: a line done with another amount than ticketed, and
whatever else the fitter knows of.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction
from django.utils import timezone

from fittings.models import Cause, GarmentOnly, Order, Settled, Stage, TicketLine
from fittings.refusals import Refused
from fittings.units import format_length, in_units
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.rules.correction import Operation
from patterns.rules.pattern import Change
from patterns.versions import RetiredPattern, next_version

if TYPE_CHECKING:
    from tailorshop.models import User

LEAST_MM: Final = Decimal("0.5")  # nobody chalks less
_SLEEVE: Final = frozenset(one.value for one in Operation)


def said(flag: GarmentOnly, unit: str) -> str:
    """The sentence that whoever cuts the next garment reads."""
    garment = f"The {flag.order.get_garment_display().lower()} of {flag.order.ordered_on.year}"
    where = ", ".join(part for part in (flag.place, flag.side and flag.get_side_display()) if part)
    amount = format_length(flag.amount_mm, unit) if flag.amount_mm else ""
    what = flag.what if flag.cause == Cause.BY_HAND else in_units(flag.what, unit)
    what = what[:1].lower() + what[1:]
    begin = f"{garment}, {where}" if where else garment
    if flag.cause == Cause.OTHER_AMOUNT:
        return f"{begin}: {what}. It was done with {amount}; the pattern has what was ticketed."
    told = f"{begin}: {what}{f' by {amount}' if amount else ''}; the pattern does not know."
    return told if flag.is_ticked else f"{told} {_not_ticked(flag)}"


def _not_ticked(flag: GarmentOnly) -> str:
    if flag.order.stage == Stage.DELIVERED:
        return "Nobody ticked it: look at the garment whether it was done."
    return "It is ticketed and not ticked as done yet."


def flag_amount(line: TicketLine, done_mm: Decimal, *, by: User, at: dt.datetime) -> GarmentOnly:
    """A line done with another amount than ticketed. Refuses (Refused) the very same amount."""
    ticketed = mm_of(line.content.get("shift_mm", 0))
    if abs(done_mm - ticketed) < LEAST_MM:
        raise Refused("That is what was ticketed: there is nothing to note.")
    return put_flag(
        line,
        Cause.OTHER_AMOUNT,
        what=line.content["title"],
        place="",
        amount_mm=done_mm,
        by=by,
        at=at,
    )


def note_by_hand(
    order: Order,
    *,
    what: str,
    place: str,
    side: str,
    amount_mm: Decimal | None,
    by: User,
    at: dt.datetime,
) -> GarmentOnly:
    """What the fitter knows was done to the garment, in their words."""
    return GarmentOnly.objects.create(
        order=order,
        side=side,
        what=what.strip(),
        place=place.strip(),
        amount_mm=None if amount_mm is None else mm_of(amount_mm),
        flagged_at=at,
        flagged_by=by,
    )


def put_flag(
    line: TicketLine,
    cause: Cause,
    *,
    what: str,
    place: str,
    amount_mm: Decimal,
    by: User,
    at: dt.datetime,
) -> GarmentOnly:
    """Flagged once for a line, cause and place; said again with another amount it is open anew."""
    kept, _ = GarmentOnly.objects.update_or_create(
        line=line,
        cause=cause,
        place=place[:120],
        defaults={
            "order": line.ticket.order,
            "side": line.side,
            "what": what[:200],
            "amount_mm": amount_mm,
            "flagged_at": at,
            "flagged_by": by,
            "settled": "",
            "settled_in": None,
            "settled_reason": "",
            "settled_at": None,
            "settled_by": None,
        },
    )
    return kept


def take_over(flag: GarmentOnly, version: PatternVersion, *, by: User, at: dt.datetime) -> None:
    """The pattern knows it now: `version` has it. Refuses (Refused) what is settled."""
    _check_open(flag)
    flag.settled, flag.settled_in = Settled.TAKEN_OVER, version
    flag.settled_at, flag.settled_by = at, by
    flag.save_over(flag.version)


def decide_against(flag: GarmentOnly, reason: str, *, by: User, at: dt.datetime) -> None:
    """The pattern is right as it is. Refuses (Refused) without a reason, and what is settled."""
    if not reason.strip():
        raise Refused("Say why the pattern stays as it is: the next cutter will ask.")
    _check_open(flag)
    settle_against(flag, reason, by=by, at=at)


def open_anew(flag: GarmentOnly) -> None:
    """What was settled by itself is asked again."""
    flag.settled, flag.settled_reason, flag.settled_at, flag.settled_by = "", "", None, None
    flag.save_over(flag.version)


def settle_against(flag: GarmentOnly, reason: str, *, by: User, at: dt.datetime) -> None:
    flag.settled, flag.settled_reason = Settled.DECIDED_AGAINST, reason.strip()[:300]
    flag.settled_at, flag.settled_by = at, by
    flag.save_over(flag.version)


def _check_open(flag: GarmentOnly) -> None:
    if flag.settled:
        when = f"{timezone.localdate(flag.settled_at):%-d %b %Y}" if flag.settled_at else "before"
        raise Refused(f"This was settled already, {when}: {flag.get_settled_display().lower()}.")


def missing(flag: GarmentOnly) -> Change | None:
    """What the pattern lacks, where the numbers say it: the difference to what was really done.

    None where no sleeve's number says it: a line of the body, inlay, what was noted by hand, and a
    re-draft, which is not a matter of more or less.
    """
    line = flag.line
    if flag.cause != Cause.OTHER_AMOUNT or line is None or flag.amount_mm is None:
        return None
    content = line.content
    if content.get("operation") not in _SLEEVE or not content.get("shift_mm"):
        return None
    change = Change.read(content)
    if change.ironed is not None:
        return None
    return change.scaled(float(flag.amount_mm) / abs(change.shift_mm) - 1.0)


def take_over_now(flag: GarmentOnly, *, by: User, at: dt.datetime) -> PatternVersion:
    """Make the next version with what the pattern lacks, and settle. Refuses (Refused)."""
    change = missing(flag)
    with transaction.atomic():
        _check_open(flag)
        order = Order.objects.select_related("pattern_version__pattern").get(pk=flag.order_id)
        before = order.pattern_version
        if change is None or before is None:
            raise Refused("The numbers do not say this: change the pattern, then name the version.")
        try:
            version = next_version(
                before,
                {flag.side: [change]},
                note=f"As {order} was really altered: {flag.what}"[:300],
                by=by,
                at=at,
            )
        except (RetiredPattern, GeometryRefused) as refused:
            raise Refused(str(refused)) from None
        take_over(flag, version, by=by, at=at)
        order.pattern_version = version
        order.save_over(order.version)
    return version


def mm_of(value: Any) -> Decimal:
    return abs(Decimal(str(value))).quantize(Decimal("0.01"))
