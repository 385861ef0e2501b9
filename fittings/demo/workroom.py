"""What the invented workroom wrote: makers and their papers, minutes, inlay used, questions."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from fittings.bench import ticks
from fittings.bench.asking import answer, ask
from fittings.bench.minutes import GUESS, kind_of
from fittings.models import Language, Maker, Order, Ticket, TicketLine
from fittings.ticketing.issuing import reissue
from fittings.units import parse_length

if TYPE_CHECKING:
    from tailorshop.models import User

OUTSIDE: Final = "Withal and Daughter, sleeve hands"
ITALIAN: Final = "Bottega Arvento, giacche"
TURKISH: Final = "Deniz Yelkovan, kol ustası"
ASKED: Final = "The cuff is faced already. Do I open the facing, or take it up inside?"
ASKED_BEFORE: Final = "Is the inlay at the hindarm to stay, or cut away after pressing?"
ANSWERED: Final = "Let it stay: he may fill out again."


def name_makers(staff: Mapping[str, User]) -> None:
    """Before any order: how the papers of each maker are written."""
    Maker.objects.create(name=str(staff["tomasz"]), person=staff["tomasz"])
    Maker.objects.create(name=str(staff["odile"]), person=staff["odile"], units="in", paper="A5")
    Maker.objects.create(name=OUTSIDE, units="both", paper="A5")
    Maker.objects.create(name=ITALIAN, units="cm", language=Language.ITALIAN)
    Maker.objects.create(name=TURKISH, units="both", language=Language.TURKISH)


def work(staff: Mapping[str, User], at: dt.datetime) -> None:
    """After all visits: what the bench did with the papers that are still in work."""
    _note_minutes()
    _leave_unchecked()
    _send_abroad()
    open_now = Ticket.objects.filter(lines__done_at=None).distinct().order_by("pk")
    for ticket, did in zip(open_now, (_start, _question), strict=False):
        did(ticket, staff, at)


def _send_abroad() -> None:
    """The newest papers of two orders go to hands that read Italian and Turkish."""
    of_ours = Order.objects.open().exclude(tickets=None).distinct().order_by("-pk")
    for name, order in zip((ITALIAN, TURKISH), of_ours, strict=False):
        order.maker, order.outside_maker = None, Maker.objects.outside().get(name=name)
        order.save_over(order.version)


def _note_minutes() -> None:
    """Times as they would be: a little over the table on one line, under it on the next."""
    for n, line in enumerate(TicketLine.objects.exclude(done_at=None).order_by("pk")):
        if n % 2:
            kind = kind_of(line.content["operation"], line.content.get("check"))
            line.minutes = GUESS[kind] + (10, -5, 25)[n % 3]
            line.save()


def _leave_unchecked() -> None:
    """The garments still in the house: done, and waiting for another pair of eyes."""
    lines = TicketLine.objects.filter(ticket__order__in=Order.objects.open())
    for line in lines.exclude(checked_at=None).order_by("-ticket", "position")[:5]:
        line.checked_at, line.checked_by = None, None
        line.save()


def _start(ticket: Ticket, staff: Mapping[str, User], at: dt.datetime) -> None:
    """Half done, with more inlay used than the paper planned; the work goes to an outside hand."""
    order = Order.objects.get(pk=ticket.order_id)
    order.maker, order.outside_maker = None, Maker.objects.outside().get(name=OUTSIDE)
    order.save_over(order.version)
    line = ticket.lines.order_by("position")[0]
    needs = line.content["inlay"]
    used = {needs[0]["place"]: parse_length("9 mm", "mm")} if needs else {}
    ticks.mark_done(line, by=staff["tomasz"], at=at, used=used)
    ticks.note_minutes(line, 45, by=staff["tomasz"])
    asked = ask(line, ASKED_BEFORE, by=staff["tomasz"], at=at)
    answer(asked, ANSWERED, by=staff["ines"], at=at + dt.timedelta(minutes=20))


def _question(ticket: Ticket, staff: Mapping[str, User], at: dt.datetime) -> None:
    """Reissued for a smudge, and asked about since."""
    later = reissue(ticket, by=staff["ines"], at=at, reason="The first paper got wet.")
    ask(later.lines.order_by("position")[0], ASKED, by=staff["tomasz"], at=at)
