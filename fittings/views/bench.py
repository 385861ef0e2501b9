"""The bench: what is to be made, and the minutes it is reckoned to take."""

from typing import Any, Final

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from fittings.bench.minutes import Estimates, recorded_of_late
from fittings.bench.worklist import (
    DUE,
    WORK,
    asked_by_number,
    in_work,
    loads,
    narrowed,
    on_bench,
    with_lines,
)
from fittings.forms.times import TimesForm
from fittings.models import PaperSize, Stage, Ticket
from fittings.refusals import RecordChanged

# A ticket stands there with its lines: more are a long way to scroll.
PER_PAGE: Final = 25
FILTERS = ("due", "stage", "maker", "work")


def bench(request: HttpRequest) -> HttpResponse:
    """Tickets by promised day; the filters are links. No contact data, and no way in by it."""
    today = timezone.localdate()
    wanted = {name: request.GET.get(name, "") for name in FILTERS}
    papers, estimates = in_work(), Estimates(recorded_of_late())
    waiting = Paginator(narrowed(papers, wanted, today), PER_PAGE)
    page = waiting.get_page(request.GET.get("page"))
    tickets = with_lines(Ticket.objects.filter(pk__in=[paper.key for paper in page]))
    asked = asked_by_number(paper.number for paper in page)
    carried = loads(papers, estimates)
    context: dict[str, Any] = {
        "page": page,
        "rows": on_bench(tickets, estimates, asked, today),
        "loads": carried,
        "filters": [
            ("due", "Promised", DUE, wanted["due"]),
            ("work", "Work", WORK, wanted["work"]),
        ],
        "narrowed": wanted["stage"] or wanted["maker"],
        "more_filters": [
            ("stage", "Stage", {"": "any stage"} | _stages(), wanted["stage"]),
            ("maker", "Maker", {"": "anybody"} | _names(carried, request), wanted["maker"]),
        ],
        "papers": [("", "as each maker has it"), *PaperSize.choices],
    }
    return render(request, "bench.html", context)


def _stages() -> dict[str, str]:
    return {stage.value: str(stage.label).lower() for stage in Stage if stage != Stage.DELIVERED}


def _names(carried: list[Any], request: HttpRequest) -> dict[str, str]:
    mine = f"person-{request.user.pk}"
    return {load.key: "me" if load.key == mine else load.name for load in carried}


def times(request: HttpRequest) -> HttpResponse:
    """The table of minutes: the owner's own figures, beside what was recorded."""
    form = TimesForm(request.POST or None)
    context: dict[str, Any] = {"form": form}
    if request.method != "POST":
        return render(request, "times.html", context)
    if not form.is_valid():
        return render(request, "times.html", context, status=422)
    try:
        form.save()
    except RecordChanged as change:
        context |= {"form": form.looked_again(), "refusal": str(change)}
        return render(request, "times.html", context, status=409)
    messages.success(request, "Saved: minutes of each alteration.")
    return redirect("times")
