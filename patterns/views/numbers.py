"""The numbers of a pattern through its versions, as a table and as a file."""

from __future__ import annotations

from typing import Any, Final

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from patterns.models import Pattern
from patterns.spreadsheets import csv_answer
from patterns.through_versions import file_rows, lines

COLUMNS: Final = 6
MM_PER: Final = {"mm": 1.0, "cm": 10.0, "in": 25.4}


def pattern_numbers(request: HttpRequest, pk: int) -> HttpResponse:
    """Six versions a page, the newest ones first and of these the oldest on the left; `as=csv`:
    all of them."""
    pattern = get_object_or_404(Pattern, pk=pk)
    rows = pattern.versions.select_related("parent", "pattern").order_by("-number")
    user: Any = request.user
    if request.GET.get("as") == "csv":
        return _file(pattern, list(rows.reverse()), user.units)
    page = Paginator(rows, COLUMNS).get_page(request.GET.get("page"))
    versions = list(page)[::-1]
    found = lines(versions)
    everything = request.GET.get("all") == "1"
    context = {
        "pattern": pattern,
        "page": page,
        "versions": versions,
        "lines": found if everything else [line for line in found if line.moved],
        "everything": everything,
    }
    return render(request, "pattern_numbers.html", context)


def _file(pattern: Pattern, versions: list[Any], unit: str) -> HttpResponse:
    return csv_answer(file_rows(versions, unit, MM_PER[unit]), f"{pattern.number}-numbers")
