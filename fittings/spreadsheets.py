"""Tables as CSV, read whatever wrote them."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import Final

from fittings.refusals import Refused

DELIMITERS: Final = ";,\t|"
MOST_BYTES: Final = 20_000_000
MOST_ROWS: Final = 50_000
MOST_COLUMNS: Final = 60
MOST_SIGNS: Final = 2_000


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
    delimiter = max(DELIMITERS, key=lambda sign: text[:5_000].split("\n", 1)[0].count(sign))
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error as fault:
        raise Refused(f"The file cannot be read as a table ({fault}): save it as CSV.") from None
    if len(lines) < 2:
        raise Refused("The file needs a line of headings and at least one row below it.")
    if len(lines) > MOST_ROWS + 1 or len(lines[0]) > MOST_COLUMNS:
        raise Refused(f"At most {MOST_ROWS} rows and {MOST_COLUMNS} columns at a time: split it.")
    headings = [heading.strip()[:80] for heading in lines[0]]
    rows = [(n, line) for n, line in enumerate(lines[1:], start=2) if any(map(str.strip, line))]
    return Table(encoding=encoding, delimiter=delimiter, headings=headings, rows=rows)


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
