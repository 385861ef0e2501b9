"""How large type and drawings are set: the first setting in which each side keeps to its page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from weasyprint import Document

from fittings.paper.drawings import Scales


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How large the type (classes of `paper.css`) and the drawings are set.

    `photographs_first`: before the work, where the first line of it begins the next page anyway.
    """

    type: str
    scales: Scales
    photographs_first: bool = False


# From what is read most easily to what still can be read; the first that keeps to the pages wins.
# Each takes no more room than the one before it: `fitted` counts on that.
SETTINGS: Final = (
    Setting(type="roomy", scales=Scales(armhole=4, sleeve=10)),
    Setting(type="large", scales=Scales(armhole=4, sleeve=10)),
    Setting(type="close", scales=Scales(armhole=5, sleeve=12)),
    Setting(type="close", scales=Scales(armhole=6, sleeve=14)),
    Setting(type="close tight", scales=Scales(armhole=8, sleeve=20), photographs_first=True),
)

# The same on half the paper: a side may take two pages rather than be too small to read, and a
# line runs on over the page end where that saves a page.
SETTINGS_A5: Final = tuple(
    Setting(
        type=type_,
        scales=Scales(armhole=armhole, sleeve=sleeve, widest_mm=132),
        photographs_first=True,
    )
    for type_, armhole, sleeve in (("small", 6, 16), ("small", 8, 18), ("small flowing", 8, 18))
)


def settings_for(size: str, *, is_english: bool, is_crowded: bool = False) -> tuple[Setting, ...]:
    """Other languages take more room than English: they begin smaller, the facts on top.

    `is_crowded`: some side has so much on it that large type is not worth trying.
    """
    if size == "A5":
        return SETTINGS_A5 if is_english else SETTINGS_A5[1:]
    return SETTINGS if is_english and not is_crowded else SETTINGS[2:]


def fitted(
    settings: Sequence[Setting], lay_out: Callable[[Setting], Document], *, sides: int
) -> Document:
    """The paper laid out in the first setting in which each side takes one page; if there is none,
    in the first with the fewest pages. Laid out as few times as it mostly takes to find that one.
    """
    tried = cache(lambda place: lay_out(settings[place]))
    every = range(len(settings))

    for place in every[: max(1, len(every) - 2)]:
        if len(tried(place).pages) <= sides:
            return tried(place)
    # What runs over in the smallest runs over in all of them.
    fewest = len(tried(every[-1]).pages)
    return next(tried(place) for place in every if len(tried(place).pages) <= max(fewest, sides))
