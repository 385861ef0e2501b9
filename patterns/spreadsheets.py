"""Tables handed out as CSV, written so that no spreadsheet runs a cell."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Any, Final

from django.http import HttpResponse

# What a spreadsheet would run instead of showing (OWASP, CSV Injection, from memory).
RUN_BY_SPREADSHEETS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff20")
# Where a spreadsheet set for another country, or one that minds no quotation, begins a cell.
_PARTED: Final = re.compile(r"([;\t\r\n]\s*)(?=[=+@\uff1d\uff20-])")
_PARTED_HARMLESS: Final = re.compile(r"([;\t\r\n]\s*)'(?=[=+@\uff1d\uff20-])")
_PARTS: Final = re.compile(r"[;\t|]")
# A negative amount is a number to every spreadsheet, and is to stay one.
_AMOUNT: Final = re.compile(r"-[0-9]+(\.[0-9]+)?")


def harmless(cell: Any) -> Any:
    """A cell that no spreadsheet runs as a formula, nor a part of it where another sign than the
    comma parts cells."""
    if not isinstance(cell, str) or _AMOUNT.fullmatch(cell):
        return cell
    cell = _PARTED.sub(r"\1'", cell)
    return f"'{cell}" if cell.lstrip(" ").startswith(RUN_BY_SPREADSHEETS) else cell


def as_meant(cell: str) -> str:
    """A cell as it was before it was `harmless`: what was handed out may be handed in again."""
    if cell.startswith("'") and cell[1:].lstrip(" ").startswith(RUN_BY_SPREADSHEETS):
        cell = cell[1:]
    return _PARTED_HARMLESS.sub(r"\1", cell)


def written(rows: Iterable[Sequence[Any]]) -> str:
    """Rows as CSV for spreadsheets, made harmless. Where a cell holds a sign that parts cells
    elsewhere all are in quotation marks, so that nobody takes it for the one that does here."""
    table = [[harmless(cell) for cell in row] for row in rows]
    parts = any(_PARTS.search(cell) for row in table for cell in row if isinstance(cell, str))
    out = io.StringIO()
    csv.writer(out, quoting=csv.QUOTE_ALL if parts else csv.QUOTE_MINIMAL).writerows(table)
    return out.getvalue()


def csv_answer(rows: Iterable[Sequence[Any]], name: str) -> HttpResponse:
    """The rows as a file of this name, which no browser keeps."""
    answer = HttpResponse(written(rows).encode("utf-8-sig"), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    answer["Cache-Control"] = "private, no-store"
    return answer
