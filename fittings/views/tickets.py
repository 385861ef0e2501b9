"""Work tickets: the list, the paper, and who did what."""

from collections.abc import Callable
from typing import Any, Final

from django.contrib import messages
from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.bench import ticks
from fittings.bench.asking import threads
from fittings.bench.minutes import said
from fittings.bench.sign_ins import SignIns, sign_ins
from fittings.forms.ticks import MINUTES, inlay_fields, inlay_used, minutes_in
from fittings.looked_at import looked_at
from fittings.models import FindableKind, Language, PaperSize, Ticket, TicketLine
from fittings.models.tickets import TicketQuerySet
from fittings.outcomes.record import decisions_answered
from fittings.paper import ticket_pdf as paper
from fittings.paper.readers import readers_of
from fittings.paper.sheets import Work, sheets
from fittings.refusals import MoreThanLeft, Refused, WouldNotWalk
from fittings.ticketing.issuing import reissue
from fittings.views.reach import page_found, unit_of

LINES: Final = TicketLine.objects.select_related("done_by", "checked_by").prefetch_related(
    "inlay_uses"
)
SHORT_LINES: Final = TicketLine.objects.only(
    "ticket_id", "position", "side", "done_at", "checked_at"
)

MOST_SIGNS: Final = 300


def _reachable() -> TicketQuerySet:
    return Ticket.objects.filter(order__customer__erased_on=None)


def get_ticket(request: HttpRequest, number: str, revision: int) -> Ticket:
    """A ticket with all it speaks of and its lines, unless its customer is erased."""
    rows = _reachable().select_related(
        "order__customer", "fitting", "issued_by", "supersedes", "pattern_before", "pattern_after"
    )
    rows = rows.prefetch_related(Prefetch("lines", LINES.all()))
    row = get_object_or_404(rows, number=number.upper(), revision=revision)
    looked_at(request, row.order.customer_id)
    return row


def ticket_list(request: HttpRequest) -> HttpResponse:
    """Newest first; those that a later revision supersedes only when asked for."""
    words, old_too = request.GET.get("q", ""), request.GET.get("old") == "1"
    rows = _reachable() if old_too else _reachable().newest()
    rows = rows.select_related("order__customer", "fitting", "superseded_by").defer(
        "content", "superseded_by__content"
    )
    rows = rows.prefetch_related(Prefetch("lines", SHORT_LINES.all()))
    context = {
        "page": page_found(request, rows, words, FindableKind.TICKET),
        "words": words,
        "old_too": old_too,
        "today": timezone.localdate(),
    }
    return render(request, "ticket_list.html", context)


def ticket(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    return render(request, "ticket.html", all_about(request, get_ticket(request, number, revision)))


def all_about(request: HttpRequest, row: Ticket, **more: Any) -> dict[str, Any]:
    papers = sheets(row.content, unit_of(request), row.last_content, told_in="mm")
    lines = {line.position: line for line in row.lines.all()}
    newest = ticks.superseding(row)
    asked = threads(row, lines.values())
    came = decisions_answered(row.fitting_id, lines.values())
    by: Any = request.user
    told = sign_ins(row, lines.values()) if by.role == "owner" else SignIns()
    return {
        "ticket": row,
        "content": row.content,
        "issued_on": told.issued,
        "superseded_by": newest,
        "sides": [
            (
                sheet,
                [
                    _ticks(request, work, lines[work.position], newest)
                    | {"questions": asked.get(work.position, [])}
                    | {"decision": came.get(work.position)}
                    | {"checked_on": told.checked.get(lines[work.position].pk)}
                    for work in sheet.works
                ],
            )
            for sheet in papers.sides
        ],
        "asked_elsewhere": papers.asked_elsewhere,
        "differs": papers.differs,
        "asked_before": asked.get(None, []),
        "minutes": MINUTES,
        "papers": PaperSize.values,
        "languages": Language.choices,
    } | more


def _ticks(
    request: HttpRequest, work: Work, line: TicketLine, newest: int | None
) -> dict[str, Any]:
    """A line's words with its ticks, and the sentence why one cannot be made now, if any."""
    by: Any = request.user
    return {
        "work": work,
        "line": line,
        "no_doing": _sentence(lambda: ticks.check_can_do(by, newest)),
        "no_checking": _sentence(lambda: ticks.check_can_check(line, by, newest)),
        "inlays": inlay_fields(line, unit_of(request), request.POST),
    }


def _sentence(check: Callable[[], None]) -> str:
    try:
        check()
    except Refused as refused:
        return str(refused)
    return ""


def ticket_code(request: HttpRequest, number: str, revision: int) -> HttpResponseRedirect:
    """What the code on the paper opens: the page of that paper, which says how it stands."""
    return redirect(get_ticket(request, number, revision))


def ticket_pdf(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    row = get_ticket(request, number, revision)
    reader = readers_of([row], unit=unit_of(request))[row.pk]
    size, language = request.GET.get("paper", ""), request.GET.get("language", "")
    pdf = paper(
        row,
        unit=reader.unit,
        superseded_by=ticks.superseding(row),
        size=size if size in PaperSize else reader.size,
        language=language if language in Language else reader.language,
    )
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{row.number}-{row.revision}.pdf"'
    answer["Cache-Control"] = "private, no-store"
    return answer


@require_POST
def ticket_line(request: HttpRequest, number: str, revision: int, position: int) -> HttpResponse:
    """Tick a line done or checked, or take a tick back."""
    row = get_ticket(request, number, revision)
    line = get_object_or_404(row.lines.all(), position=position)
    try:
        told = _tick(request, line)
    except Refused as refused:
        context = all_about(
            request,
            row,
            refusal=str(refused),
            refused_at=position,
            asks_really=isinstance(refused, MoreThanLeft),
        )
        return render(request, "ticket.html", context, status=422)
    messages.success(request, f"Line {position}: {told}.")
    return redirect(f"{row.get_absolute_url()}#ticks-{position}")


def _tick(request: HttpRequest, line: TicketLine) -> str:
    by: Any = request.user
    at = timezone.now()
    match request.POST.get("tick"):
        case "done":
            used = inlay_used(line, unit_of(request), request.POST)
            really = "really" in request.POST
            ticks.mark_done(line, by=by, at=at, used=used, really=really)
        case "checked":
            ticks.mark_checked(line, by=by, at=at)
        case "not-done":
            ticks.take_back_done(line, by=by)
            return "no longer done"
        case "not-checked":
            ticks.take_back_check(line, by=by)
            return "no longer checked"
        case "minutes":
            took = minutes_in(request.POST)
            ticks.note_minutes(line, took, by=by)
            return f"it took {said(took)}"
        case _:
            raise Http404("There is no such tick.")
    return str(request.POST["tick"])


@require_POST
def ticket_reissue(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    row = get_ticket(request, number, revision)
    typed = {name: request.POST.get(name, "") for name in ("reason", "despite")}
    by: Any = request.user
    try:
        if max(map(len, typed.values())) > MOST_SIGNS:
            raise Refused(f"Say it in {MOST_SIGNS} signs at most: it must fit on the paper.")
        later = reissue(
            row,
            by=by,
            at=timezone.now(),
            reason=typed["reason"],
            reason_despite_checks=typed["despite"],
        )
    except Refused as refused:
        asks = isinstance(refused, WouldNotWalk) or bool(typed["despite"])
        context = all_about(request, row, reissue_refusal=str(refused), asks_despite=asks, **typed)
        return render(request, "ticket.html", context, status=422)
    messages.success(request, f"Issued: {later}. The paper before it is superseded.")
    return redirect(later)
