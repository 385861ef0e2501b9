"""The drawings of a ticket: the armhole and the sleeve of one side, old line and new, to scale."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from html import unescape
from itertools import pairwise, starmap
from math import ceil
from typing import Any, Final, Self

from django.utils.translation import gettext

from fittings.paper.sheets import Sheet
from fittings.paper.words import is_english, say
from fittings.ticketing.content import is_on_pattern
from patterns.drawing.armhole import armhole_plate
from patterns.drawing.embedded import PLATE
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.draft import TwoPiece
from patterns.geometry.refusals import GeometryRefused
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.pieces import two_piece
from patterns.rules.words import mm

_BRACKETED: Final = re.compile(r" \(\w+\)")
GAP_MM: Final = 3.0
BESIDE_FACTS_MM: Final = 108.0
NARROW_MM: Final = 128.0
LEAST_IRON_MM: Final = 0.5
# Beside a sleeve at 1 : 10 a page of large type has room for fewer signs; so many for an armhole.
CROWDED_SIGNS: Final = 1600
ARMHOLE_SIGNS: Final = 400
_SIZE: Final = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"')
_TOLD: Final = re.compile(r"<desc>(.*?)</desc>", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """Paper to cloth, as the second number of `1 : n`."""

    armhole: int
    sleeve: int
    # Drawings wider than this (long words beside them) are made smaller as a whole.
    widest_mm: float = 186.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One plate as a picture (an SVG as a `data:` address), and its words."""

    name: str
    seen: str
    scale: str
    address: str
    wide_mm: float
    told: str
    notes: tuple[str, ...] = ()

    @property
    def wide(self) -> str:
        """How much of the paper's width it takes, with what keeps it off the words."""
        return f"{self.wide_mm + GAP_MM:.1f}mm"

    @property
    def in_head(self) -> str:
        """How much of it the facts beside it leave: they take no more than they can fill."""
        return f"{max(self.wide_mm, BESIDE_FACTS_MM):.2f}mm"

    @property
    def is_narrow(self) -> bool:
        """Whether facts that run on take less of the page beside it than over it."""
        return self.wide_mm <= NARROW_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What the plates of one side are drawn from, worked out once for all scales.

    `steps`: the side before the first line of work and after each, in the order of the lines.
    """

    side: str
    steps: tuple[SidePattern, ...]
    pieces: tuple[TwoPiece, TwoPiece]

    @classmethod
    def read(
        cls, documents: Mapping[str, Any], side: str, lines: Iterable[Mapping[str, Any]]
    ) -> Self:
        """From the kept sides before and after. Refuses GeometryRefused what cannot be drawn."""
        old, new = (SidePattern.read(documents[when]) for when in ("before", "after"))
        steps = [old]
        for line in lines:
            on_pattern = line.get("on_pattern", True)
            last = steps[-1]
            steps.append(last.with_change(Change.read(line)) if on_pattern else last)
        return cls(
            side=side,
            steps=tuple(steps),
            pieces=(two_piece(old), two_piece(new)),
        )

    def armhole(self, line: int, scales: Scales) -> Drawing | None:
        """The armhole with what this line alone does to it; None where it does nothing there."""
        old, new = self.steps[line], self.steps[line + 1]
        if not _moves_on_armhole(old, new):
            return None
        recut = old.armhole_document != new.armhole_document
        plate = armhole_plate(
            new.armhole,
            old.sleeve,
            new.sleeve,
            side=self.side,
            scale=1 / scales.armhole,
            old_armhole=old.armhole if recut else None,
            bare=True,
            say=_label,
        )
        seen = say(f"seen from the wearer's {self.side}; this line alone", "mm")
        return _drawing(gettext("Armhole"), seen, *_within(scales, scales.armhole, plate))

    def sleeve(self, scales: Scales) -> Drawing:
        """Both pieces of the sleeve, the old line and the new, and what the iron holds in all."""
        plate = sleeve_plate(
            *self.pieces, side=self.side, scale=1 / scales.sleeve, bare=True, say=_label
        )
        lines = "; all lines together" if len(self.steps) > 2 else ""
        seen = say(f"front to the {self.side} of the paper{lines}", "mm")
        drawn = _within(scales, scales.sleeve, plate)
        return _drawing(gettext("Sleeve"), seen, *drawn, _iron(self.pieces[1]))


@dataclass(frozen=True, slots=True, kw_only=True)
class SideDrawn:
    """One side with what its drawings are made from, or why there are none."""

    sheet: Sheet
    drawn: Drawn | None = None
    undrawn: str = ""
    _at: dict[Scales, dict[str, Any]] = field(default_factory=dict)

    @classmethod
    def of(cls, sheet: Sheet, content: Mapping[str, Any]) -> Self:
        lines = [line for line in content["lines"] if line["side"] == sheet.side]
        if sheet.side not in content["sides"] or not any(map(is_on_pattern, lines)):
            return cls(sheet=sheet)
        try:
            drawn = Drawn.read(content["sides"][sheet.side], sheet.side, lines)
            return cls(sheet=sheet, drawn=drawn)
        except GeometryRefused as refused:
            return cls(sheet=sheet, undrawn=f"{gettext('No drawing:')} {say(str(refused), 'mm')}")

    @property
    def is_crowded(self) -> bool:
        """Whether it runs over a page of large type, however it is set."""
        if self.drawn is None:
            return False
        armholes = sum(starmap(_moves_on_armhole, pairwise(self.drawn.steps)))
        return self.sheet.signs + armholes * ARMHOLE_SIGNS > CROWDED_SIGNS

    def at(self, scales: Scales) -> dict[str, Any]:
        """Each line of work with its armhole, and the sleeve; drawn once for each scale."""
        if scales not in self._at:
            self._at[scales] = self._drawn_at(scales)
        return self._at[scales]

    def _drawn_at(self, scales: Scales) -> dict[str, Any]:
        drawn, works = self.drawn, self.sheet.works
        page = {"sheet": self.sheet, "undrawn": self.undrawn}
        if drawn is None:
            return page | {"works": [(work, None) for work in works]}
        pictured = [(work, drawn.armhole(n, scales)) for n, work in enumerate(works)]
        return page | {"works": pictured, "sleeve": drawn.sleeve(scales)}


def _label(words: str) -> str:
    """Without the English word in brackets, which the lines of work give: room is short here."""
    return _BRACKETED.sub("", say(words, "mm"))


def _moves_on_armhole(old: SidePattern, new: SidePattern) -> bool:
    def marks(pattern: SidePattern) -> tuple[object, ...]:
        sleeve = pattern.sleeve
        return (
            sleeve.notch_shift_mm,
            sleeve.hindarm_shift_mm.head,
            sleeve.forearm_shift_mm.head,
            pattern.armhole_document,
        )

    return marks(old) != marks(new)


def _iron(sleeve: TwoPiece) -> tuple[str, ...]:
    """The iron work of the whole sleeve as it is now drawn."""
    work = {
        "hindarm of the under sleeve shrunk into the top by": sleeve.hindarm_ease_mm,
        "forearm of the top sleeve stretched to the under by": sleeve.forearm_ease_mm,
        "both forearm edges stretched by": sleeve.forearm_stretch_mm,
    }
    return tuple(
        say(f"in all: {words} {mm(amount)}", "mm")
        for words, amount in work.items()
        if amount >= LEAST_IRON_MM
    )


def _within(scales: Scales, scale: int, plate: str) -> tuple[int, str]:
    """The plate no wider than the paper: the next whole scale at which it is, and still true."""
    size = _SIZE.search(plate)
    if size is None or float(size[1]) <= scales.widest_mm:
        return scale, plate
    smaller = ceil(scale * float(size[1]) / scales.widest_mm)
    wide, high = (float(mm_) * scale / smaller for mm_ in size.groups())
    return smaller, plate.replace(size[0], f'width="{wide:.3f}mm" height="{high:.3f}mm"', 1)


def _drawing(name: str, seen: str, scale: int, plate: str, notes: tuple[str, ...] = ()) -> Drawing:
    told = _TOLD.search(plate) if is_english() else None
    size = _SIZE.search(plate)
    return Drawing(
        name=name,
        seen=seen,
        scale=f"1 : {scale}",
        wide_mm=float(size[1]) if size else 0.0,
        address=f"{PLATE}{b64encode(plate.encode()).decode()}",
        told=unescape(told.group(1)) if told else f"{name}, {seen}",
        notes=notes,
    )
