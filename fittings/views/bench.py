"""The bench: what is to be made, and the minutes it is reckoned to take."""

from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from fittings.bench.minutes import Estimates
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
from fittings.models import PaperSize, Stage
from fittings.refusals import RecordChanged
from fittings.views.reach import page_of

# A ticket stands there with its lines: more are a long way to scroll.
PER_PAGE: Final = 25
FILTERS = ("due", "stage", "maker", "work")


def bench(request: HttpRequest) -> HttpResponse:
    """Tickets by promised day; the filters are links. No contact data, and no way in by it."""
    today = timezone.localdate()
    wanted = {name: request.GET.get(name, "") for name in FILTERS}
    waiting = with_lines(narrowed(in_work(), wanted, today))
    page = page_of(request, waiting, per_page=PER_PAGE)
    estimates = Estimates()
    carried = loads(estimates)
    asked = asked_by_number(ticket.number for ticket in page)
    context: dict[str, Any] = {
        "page": page,
        "rows": on_bench(page, estimates, asked, today),
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
