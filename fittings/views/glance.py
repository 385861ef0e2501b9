"""The shop at a glance: the page, its plots and tables, and the month on paper."""

from __future__ import annotations

import datetime as dt
import re

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST

from fittings.glance.period import YEARS, Period
from fittings.glance.plot import plot
from fittings.glance.sheet import Sheet, as_rows, for_eyes
from fittings.glance.sheets import SHEETS
from fittings.models import ErrandKind
from fittings.refusals import Refused
from fittings.views.errands import asked_for, own_errands
from fittings.views.reach import unit_of
from patterns.spreadsheets import csv_answer

SEES_PEOPLE = frozenset({"fitter", "owner"})
MONTH = re.compile(r"(20[0-9]{2})-(0[1-9]|1[0-2])")


def sees_people(request: HttpRequest) -> bool:
    """Whether whoever is signed in may open a customer's page anyway."""
    return getattr(request.user, "role", "") in SEES_PEOPLE


def _period(request: HttpRequest) -> tuple[int, Period]:
    asked = request.GET.get("years", "")
    years = int(asked) if asked in {str(y) for y in YEARS} else YEARS[0]
    return years, Period.of_years(years, timezone.localdate())


def glance(request: HttpRequest) -> HttpResponse:
    years, period = _period(request)
    sheets = [_seen(request, name, period) for name in SHEETS]
    last_month = timezone.localdate().replace(day=1) - dt.timedelta(days=1)
    context = {
        "sheets": sheets,
        "years": years,
        "choices": [(y, Period.of_years(y, period.last).words) for y in YEARS],
        "period": period,
        "errands": own_errands(request, "glance"),
        "last_month": f"{last_month:%Y-%m}",
    }
    return render(request, "glance.html", context)


def _seen(request: HttpRequest, name: str, period: Period) -> Sheet:
    if name not in SHEETS:
        raise Http404("There is no such sheet.")
    sheet = SHEETS[name](period, unit_of(request))
    return for_eyes(sheet, sees_people=sees_people(request))


def glance_plot(request: HttpRequest, name: str) -> HttpResponse:
    """The bars as SVG. Its address carries their fingerprint, so a browser may keep it."""
    sheet = _seen(request, name, _period(request)[1])
    answer = HttpResponse(plot(sheet), content_type="image/svg+xml")
    patch_cache_control(answer, private=True, max_age=3600)
    return answer


def glance_csv(request: HttpRequest, name: str) -> HttpResponse:
    sheet = _seen(request, name, _period(request)[1])
    return csv_answer(as_rows(sheet), sheet.slug)


@require_POST
def glance_month(request: HttpRequest) -> HttpResponse:
    """The month on paper; paper lies about, so it names nobody, whoever prints it."""
    asked = MONTH.fullmatch(request.POST.get("month", "").strip())
    if asked is None:
        raise Refused("Write the month as its year and its number, such as 2026-03.")
    year, month, unit = int(asked[1]), int(asked[2]), unit_of(request)
    said = {"year": year, "month": month, "unit": unit}
    return asked_for(request, ErrandKind.MONTH, f"{year}-{month:02d} {unit}", said=said)
