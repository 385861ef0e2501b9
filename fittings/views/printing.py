"""Print runs: choose tickets, watch them being laid out, open the file."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.bench.print_queue import lay_out_next, make_run, run_pdf, sheets_of
from fittings.bench.worklist import SOONEST_FIRST
from fittings.looked_at import looked_at
from fittings.models import PrintRun, Ticket
from fittings.views.reach import asks_for_a_part, unit_of


def get_run(request: HttpRequest, pk: int) -> PrintRun:
    return get_object_or_404(PrintRun, pk=pk)


@require_POST
def print_run_new(request: HttpRequest) -> HttpResponse:
    wanted = request.POST.getlist("shown" if "all" in request.POST else "ticket")
    keys = [int(key) for key in wanted if key.isdecimal() and len(key) < 10]
    rows = Ticket.objects.newest().filter(pk__in=keys, order__customer__erased_on=None)
    by: Any = request.user
    tickets = list(rows.defer("content").order_by(*SOONEST_FIRST))
    paper = request.POST.get("paper", "")
    return redirect(make_run(tickets, by=by, at=timezone.now(), paper=paper))


def print_run(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, get_run(request, pk))


@require_POST
def print_run_next(request: HttpRequest, pk: int) -> HttpResponse:
    """Lay out one more, and say how far it is."""
    run = get_run(request, pk)
    lay_out_next(run, unit=unit_of(request))
    return _page(request, run) if asks_for_a_part(request) else redirect(run)


def print_run_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    run = get_run(request, pk)
    answer = HttpResponse(run_pdf(run), content_type="application/pdf")
    for key in run.sheets.values_list("ticket__order__customer", flat=True):
        looked_at(request, key)
    answer["Content-Disposition"] = f'inline; filename="tickets-{pk}.pdf"'
    answer["Cache-Control"] = "private, no-store"
    return answer


def _page(request: HttpRequest, run: PrintRun) -> HttpResponse:
    sheets = sheets_of(run)
    ready = sum(sheet.is_ready for sheet in sheets)
    context = {
        "run": run,
        "sheets": sheets,
        "ready": ready,
        "waits": ready < len(sheets),
        "printable": sum(bool(sheet.pages) and not sheet.refused for sheet in sheets),
    }
    part = "#progress" if asks_for_a_part(request) else ""
    return render(request, f"print_run.html{part}", context)
