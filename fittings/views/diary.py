"""The shop's diary: planned fittings and promised days, by week, month or day."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from fittings.diary.days import KINDS, Period, day_said
from fittings.diary.spread import MOST, spread
from fittings.views.reach import who

VIEWS = {"": "Week", "month": "Month"}
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
WHOSE = {"": "Everybody’s", "mine": "Mine"}


def diary(request: HttpRequest) -> HttpResponse:
    """Names as on the bench list, no contact data; only the fitting room finds ways in here."""
    today = timezone.localdate()
    kind = request.GET.get("view", "")
    day = day_said(request.GET.get("on", ""), today)
    period = Period.of(kind if kind in KINDS else "week", day)
    whose = "mine" if request.GET.get("whose") == "mine" else ""
    context = {
        "spread": spread(period, today=today, of=who(request) if whose else None),
        "period": period,
        "today": today,
        "most": MOST,
        "weekdays": WEEKDAYS,
        "filters": [
            ("view", "Shown", VIEWS, "" if period.kind == "week" else period.kind),
            ("whose", "Whose", WHOSE, whose),
        ],
    }
    return render(request, "diary.html", context)
