"""Which archives are kept: 7 days, 4 weeks and 12 months, the newest of each."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

from tailorshop.keeping.archive import STAMP

_NAME: Final = re.compile(r"fitting-book-(\d{8}T\d{6}Z)\.tar(\.age)?")
_SPANS: Final[tuple[tuple[int, Callable[[dt.datetime], object]], ...]] = (
    (7, lambda moment: moment.date()),
    (4, lambda moment: moment.isocalendar()[:2]),
    (12, lambda moment: (moment.year, moment.month)),
)


def kept(moments: Iterable[dt.datetime]) -> set[dt.datetime]:
    """Of these archives, those that stay."""
    newest_first = sorted(moments, reverse=True)
    stay: set[dt.datetime] = set()
    for most, span in _SPANS:
        newest: dict[object, dt.datetime] = {}
        for moment in newest_first:
            newest.setdefault(span(moment), moment)
        stay |= set(list(newest.values())[:most])
    return stay


def prune(folder: Path) -> list[Path]:
    """Delete the archives that are past keeping; returns them. Files of another name stay."""
    archives = {}
    for path in sorted(folder.iterdir()):
        if found := _NAME.fullmatch(path.name):
            moment = dt.datetime.strptime(found[1], STAMP).replace(tzinfo=dt.UTC)
            archives[path] = moment
    stay = kept(archives.values())
    gone = [path for path, moment in archives.items() if moment not in stay]
    for path in gone:
        path.unlink()
    return gone
