"""Several tickets printed as one file: made one at a time, then put together.

Each ticket is laid out in a request of its own, so that the page can say how far it is, and what is
laid out stays laid out when the connection drops.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from django.db import transaction

from fittings.models import Customer, PaperSize, PrintRun, PrintSheet, Ticket
from fittings.paper import ticket_pdf
from fittings.paper.joining import joined, pages_in
from fittings.paper.readers import readers_of
from fittings.refusals import Refused

if TYPE_CHECKING:
    from tailorshop.models import User

# So many are joined while somebody waits for the file.
MOST_IN_A_RUN: Final = 30
KEPT: Final = dt.timedelta(days=1)


def make_run(tickets: Sequence[Ticket], *, by: User, at: dt.datetime, paper: str = "") -> PrintRun:
    """A run of these tickets in this order; runs of days before are forgotten.

    `paper` "A4" or "A5", or "": as each maker has it. Refuses (Refused) none, or too many.
    """
    if not tickets:
        raise Refused("Tick the tickets that are to be printed, then press print.")
    if len(tickets) > MOST_IN_A_RUN:
        raise Refused(f"Choose {MOST_IN_A_RUN} tickets at most; print the others after them.")
    if paper and paper not in PaperSize:
        raise Refused("Choose A4, A5, or as each maker has it.")
    with transaction.atomic():
        sweep(at)
        run = PrintRun.objects.create(made_at=at, made_by=by, paper=paper)
        readers = readers_of(tickets, unit="mm")
        PrintSheet.objects.bulk_create(
            PrintSheet(run=run, ticket=one, position=n, paper=paper or readers[one.pk].size)
            for n, one in enumerate(tickets, start=1)
        )
    return run


def sweep(at: dt.datetime) -> None:
    """Forget runs of days before, with all that was laid out for them."""
    # Those of a clock that ran ahead too, or they would stay until that day has come.
    PrintRun.objects.exclude(made_at__range=(at - KEPT, at + KEPT)).delete()


def lay_out_next(run: PrintRun, *, unit: str) -> None:
    """Lay out the first ticket of the run that waits; nothing where none does.

    `unit`: where nobody wrote down which one its maker reads.
    """
    waiting = run.sheets.filter(pages=0, refused="")
    sheet = waiting.select_related("ticket__order", "ticket__supersedes").first()
    if sheet is None:
        return
    reader = readers_of([sheet.ticket], unit=unit)[sheet.ticket_id]
    try:
        sheet.pdf = ticket_pdf(
            sheet.ticket, unit=reader.unit, size=sheet.paper, language=reader.language
        )
        sheet.pages = pages_in(sheet.pdf)
    except Refused as refused:
        sheet.refused = str(refused)[:300]
    sheet.save(update_fields=["pdf", "pages", "refused"])


def lay_out_anew(customer: Customer) -> None:
    """What was laid out of a customer's tickets waits again: photographs in it may no longer be."""
    laid_out = PrintSheet.objects.filter(ticket__order__customer=customer, pages__gt=0)
    laid_out.update(pdf=b"", pages=0)


def sheets_of(run: PrintRun) -> list[PrintSheet]:
    """The sheets in order, without erased customers; what may not be printed now says why."""
    rows = run.sheets.filter(ticket__order__customer__erased_on=None)
    rows = rows.select_related("ticket__superseded_by", "ticket__order")
    kept_back = ("pdf", "ticket__content", "ticket__superseded_by__content")
    found = list(rows.defer(*kept_back).order_by("position"))
    for sheet in found:
        later = getattr(sheet.ticket, "superseded_by", None)
        if later is not None:
            sheet.refused = f"Revision {later.revision} supersedes it: print that one."
    return found


def run_pdf(run: PrintRun) -> bytes:
    """The file of a run. Refuses (Refused) while a ticket waits, and where none can be printed."""
    sheets = sheets_of(run)
    if not all(sheet.is_ready for sheet in sheets):
        raise Refused("Not all tickets are laid out yet: go back and let it go on.")
    printed = [sheet for sheet in sheets if not sheet.refused]
    if not printed:
        raise Refused("None of these tickets can be printed: the list says why.")
    papers = dict(run.sheets.values_list("pk", "pdf"))
    title = f"Work tickets {', '.join(sheet.ticket.number for sheet in printed)}"
    return joined([bytes(papers[sheet.pk]) for sheet in printed], title=title)
