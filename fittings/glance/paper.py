"""The owner's month on paper: what the month brought, and how the shop stands."""

from __future__ import annotations

import base64
import datetime as dt
from typing import Final

from django.conf import settings
from django.template.loader import render_to_string

from fittings.glance.period import Period
from fittings.glance.plot import plot
from fittings.glance.sheet import Sheet, for_eyes
from fittings.glance.sheets import SHEETS
from fittings.paper.press import laid_out, written

# What is told of the month itself; the rest needs more garments than a month has.
OF_THE_MONTH: Final = frozenset({"suggestions", "tickets"})


def month_pdf(month: Period, unit: str, today: dt.date) -> bytes:
    """A tagged PDF of every sheet; rows that could point to one person are left out."""
    period = {
        name: month if name in OF_THE_MONTH else _standing(name, month, today) for name in SHEETS
    }
    sheets = [
        for_eyes(make(period[name], unit), sees_people=False) for name, make in SHEETS.items()
    ]
    page = {
        "shop": settings.SHOP_NAME,
        "month": month.words,
        "sheets": [(sheet, period[sheet.slug].words, _embedded(sheet)) for sheet in sheets],
        "today": today,
    }
    return written(laid_out(render_to_string("paper/glance.html", page), "report"))


def _standing(name: str, month: Period, today: dt.date) -> Period:
    if name == "in-hand":
        return Period(first=None, last=today, words=f"as of {today.day} {today:%B %Y}")
    return month.so_far()


def _embedded(sheet: Sheet) -> str:
    """The plot as an address that holds it: the paper fetches nothing."""
    if not sheet.rows:
        return ""
    return "data:image/svg+xml;base64," + base64.b64encode(plot(sheet)).decode()
