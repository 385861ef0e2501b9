"""A customer book handed in as CSV: its columns named, its rows looked at, the good ones kept."""

from __future__ import annotations

import hashlib
from typing import Any, Final

from django.core.files.base import ContentFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.books import FIELDS, faulty_rows, go_on, hand_in, keep_good, name_columns
from fittings.forms.carrying import BookForm
from fittings.models import BookStep, CustomerBook, ErrandKind, RowState
from fittings.refusals import Refused
from fittings.spreadsheets import read
from fittings.views.carrying import both_ways
from fittings.views.errands import asked_for
from fittings.views.reach import asks_for_a_part, page_of
from patterns.spreadsheets import csv_answer

# As many are kept within a second; a longer book is read beside the pages.
ROWS_AT_ONCE: Final = 10_000


def get_book(request: HttpRequest, pk: int) -> CustomerBook:
    return get_object_or_404(CustomerBook.objects.exclude(step=BookStep.READING), pk=pk)


@require_POST
def book_new(request: HttpRequest) -> HttpResponse:
    form, by = BookForm(request.POST, request.FILES), _by(request)
    if form.is_valid():
        file = form.cleaned_data["book"]
        try:
            data = file.read()
            if len(read(data).rows) > ROWS_AT_ONCE:
                return _asked_for(request, data, file.name)
            return redirect(hand_in(data, name=file.name, by=by, at=timezone.now()))
        except Refused as refused:
            form.add_error("book", str(refused))
    return both_ways(request, book_form=form, status=422)


def _asked_for(request: HttpRequest, data: bytes, name: str) -> HttpResponse:
    subject, said = hashlib.sha256(data).hexdigest(), {"name": name[:120]}
    return asked_for(request, ErrandKind.BOOK, subject, said=said, file=ContentFile(data))


def book(request: HttpRequest, pk: int) -> HttpResponse:
    """Naming its columns, while nothing is kept; else how far it is."""
    row = get_book(request, pk)
    if request.method != "POST":
        return _page(request, row)
    columns = [request.POST.get(f"column-{n}", "") for n in range(len(row.headings))]
    known = [column if column in FIELDS else "" for column in columns]
    try:
        name_columns(row, known)
    except Refused as refused:
        row.columns = known
        return _page(request, row, refused=refused, status=422)
    return redirect(row)


@require_POST
def book_next(request: HttpRequest, pk: int) -> HttpResponse:
    """One lot more; `keep` says that the good rows are to be kept."""
    row = get_book(request, pk)
    if "keep" in request.POST:
        keep_good(row)
    go_on(row)
    return _page(request, row) if asks_for_a_part(request) else redirect(row)


def book_faults(request: HttpRequest, pk: int) -> HttpResponse:
    return csv_answer(faulty_rows(get_book(request, pk)), f"to-mend-{pk}")


def _by(request: HttpRequest) -> Any:
    return request.user


def _page(
    request: HttpRequest, row: CustomerBook, *, status: int = 200, refused: Refused | None = None
) -> HttpResponse:
    rows = row.rows.all()
    counts = {state: rows.filter(state=state).count() for state in RowState.values}
    total, working = sum(counts.values()), row.step in (BookStep.TRYING, BookStep.KEEPING)
    first = rows.first()
    cells = first.cells if first else []
    samples = [cells[n] if n < len(cells) else "" for n in range(len(row.headings))]
    keeping = row.step == BookStep.KEEPING
    context = {
        "book": row,
        "counts": counts,
        "total": total,
        "done": total - counts["good" if keeping else "waiting"],
        "working": working,
        "columns": list(zip(row.headings, row.columns, samples, strict=True)),
        "fields": [(key, words) for key, (words, _) in FIELDS.items()],
        "page": page_of(request, rows.faulty()),
        "refused": refused,
    }
    part = "#progress" if asks_for_a_part(request) and not refused else ""
    return render(request, f"book.html{part}", context, status=status)
