"""Tables as CSV, read whatever wrote them."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import Final

from fittings.refusals import Refused
from patterns.spreadsheets import as_meant
from patterns.unseen import without_unseen

DELIMITERS: Final = ";,\t|"
MOST_BYTES: Final = 20_000_000
MOST_ROWS: Final = 50_000
MOST_COLUMNS: Final = 60
MOST_SIGNS: Final = 2_000
# The heading of a last column that says what is to be mended in a row.
TO_MEND: Final = "to mend"
_QUOTED: Final = re.compile(r'"[^"]*"')
_LINE_END: Final = re.compile(r"\r\n|[\r\n]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A file as it was understood; `rows` with the line a spreadsheet shows each at."""

    encoding: str
    delimiter: str
    headings: list[str]
    rows: list[tuple[int, list[str]]]


def read(data: bytes) -> Table:
    """Refuses (Refused) what is no table, too long or too wide, in a sentence."""
    if len(data) > MOST_BYTES:
        raise Refused(f"The file is longer than {MOST_BYTES // 1_000_000} million bytes: split it.")
    text, encoding = _text(data)
    if "\0" in text:
        raise Refused("This is no table of text: save it as CSV and choose that file.")
    delimiter = _delimiter(text)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error as fault:
        raise Refused(f"The file cannot be read as a table ({fault}): save it as CSV.") from None
    lines = _without_reasons([[as_meant(without_unseen(cell)) for cell in row] for row in lines])
    headings = [heading.strip()[:80] for line in lines[:1] for heading in line]
    if len(lines) > MOST_ROWS + 1 or len(headings) > MOST_COLUMNS:
        raise Refused(f"At most {MOST_ROWS} rows and {MOST_COLUMNS} columns at a time: split it.")
    rows = [(n, line) for n, line in enumerate(lines[1:], start=2) if any(map(str.strip, line))]
    if not any(headings) or not rows:
        raise Refused("The file needs a line of headings and at least one row below it.")
    return Table(encoding=encoding, delimiter=delimiter, headings=headings, rows=rows)


def _without_reasons(lines: list[list[str]]) -> list[list[str]]:
    """Without the last column of a file that was handed out to be mended."""
    width = len(lines[0]) if lines else 0
    if not width or lines[0][-1] != TO_MEND:
        return lines
    return [line[:-1] if len(line) >= width else line for line in lines]


def _delimiter(text: str) -> str:
    """The sign that parts most headings and cells of the first row, outside quotation marks."""
    first, second, *_ = *_LINE_END.split(_QUOTED.sub("", text[:5_000]), maxsplit=2), ""

    def parts(sign: str) -> tuple[int, int]:
        return min(first.count(sign), second.count(sign)), first.count(sign)

    return max(DELIMITERS, key=parts)


def _text(data: bytes) -> tuple[str, str]:
    """UTF-16 says so at its beginning; what is no UTF-8 is taken for Latin letters of one byte."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return data.decode("utf-16"), "utf-16"
        except UnicodeDecodeError:
            raise Refused("The file breaks off within a letter: save it once more.") from None
    try:
        return data.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        return data.decode("latin-1"), "latin-1"
