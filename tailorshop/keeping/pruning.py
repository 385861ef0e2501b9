"""Which archives are kept: 7 days, 4 weeks and 12 months, the newest of each.

And nothing of a backup that was killed: what it had copied is as personal as the record.
"""

from __future__ import annotations

import datetime as dt
import re
import shutil
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

from tailorshop.keeping.archive import STAMP
from tailorshop.keeping.files import PART

_NAME: Final = re.compile(r"fitting-book-(\d{8}T\d{6}Z)\.tar(\.age)?")
_BEGUN: Final = (".taking-*", ".reading-*", f".fitting-book-*{PART}")
# No backup takes so long: what is older was left by one that was killed.
_LONGEST: Final = dt.timedelta(days=1)
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


def clear_left_over(folder: Path, *, now: dt.datetime) -> list[Path]:
    """Delete what backups that were killed more than a day ago left behind; returns it."""
    latest = (now - _LONGEST).timestamp()
    begun = [path for pattern in _BEGUN for path in sorted(folder.glob(pattern))]
    gone = [path for path in begun if path.stat().st_mtime < latest]
    for path in gone:
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()
    return gone
