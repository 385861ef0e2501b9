"""Which archives are kept: all of three days, then of 7 days, 4 weeks and 12 months the newest.

And nothing of a backup that was killed: what it had copied is as personal as the record.
"""

from __future__ import annotations

import datetime as dt
import re
import shutil
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

from tailorshop.keeping.archive import STAMP, TAKING

_NAME: Final = re.compile(r"fitting-book-(\d{8}T\d{6}Z)(-\d+)?\.tar(\.age)?")
_BEGUN: Final = f"{TAKING}*"
# No backup takes so long: what is older was left by one that was killed.
_LONGEST: Final = dt.timedelta(days=1)
# So that what was kept before a new version came is still there when somebody finds fault with it.
_ALL_OF: Final = dt.timedelta(days=3)
_SPANS: Final[tuple[tuple[int, Callable[[dt.datetime], object]], ...]] = (
    (7, lambda moment: moment.date()),
    (4, lambda moment: moment.isocalendar()[:2]),
    (12, lambda moment: (moment.year, moment.month)),
)


def kept(moments: Iterable[dt.datetime]) -> set[dt.datetime]:
    """Of these archives, those that stay."""
    newest_first = sorted(moments, reverse=True)
    stay = {moment for moment in newest_first if newest_first[0] - moment < _ALL_OF}
    for most, span in _SPANS:
        newest: dict[object, dt.datetime] = {}
        for moment in newest_first:
            newest.setdefault(span(moment), moment)
        stay |= set(list(newest.values())[:most])
    return stay


def prune(folder: Path, *, now: dt.datetime, spared: Path | None = None) -> list[Path]:
    """Delete the archives that are past keeping; returns them. Files of another name stay.

    `spared` stays whatever its name says: the one just made, with a clock that was set back. Those
    of a clock that ran ahead stay until their day has come, and take the place of no other.
    """
    archives = {}
    for path in sorted(folder.iterdir()):
        if found := _NAME.fullmatch(path.name):
            moment = dt.datetime.strptime(found[1], STAMP).replace(tzinfo=dt.UTC)
            if moment <= now:
                archives[path] = moment
    stay = kept(archives.values())
    gone = [path for path, moment in archives.items() if moment not in stay and path != spared]
    for path in gone:
        path.unlink()
    return gone


def clear_left_over(folder: Path, *, now: dt.datetime) -> list[Path]:
    """Delete what backups that were killed more than a day ago left behind; returns it."""
    latest = (now - _LONGEST).timestamp()
    gone = [path for path in sorted(folder.glob(_BEGUN)) if path.stat().st_mtime < latest]
    for path in gone:
        shutil.rmtree(path)
    return gone
