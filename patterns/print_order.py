"""What is to be printed or handed over of a pattern version, and how it is made."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

from django.utils import timezone
from django.utils.formats import date_format

from patterns.drawing.full_scale.cutting import Cloth
from patterns.drawing.full_scale.dxf_file import dxf_file
from patterns.drawing.full_scale.first_page import check_square, page_map
from patterns.drawing.full_scale.layers import Drawn
from patterns.drawing.full_scale.layout import Layout, needed_width_mm
from patterns.drawing.full_scale.paper import one_sheet_pdf, tiled_pdf
from patterns.drawing.full_scale.pieces import Heading, Side, drawings
from patterns.drawing.full_scale.plate import plate_pdf
from patterns.drawing.full_scale.svg_file import drawing_svg, svg_file
from patterns.drawing.full_scale.tiles import A4, LETTER, MARGIN_MM, Paper, Tiling
from patterns.models import PatternVersion
from patterns.rules.pattern import SidePattern

PAPERS: Final = {"a4": A4, "letter": LETTER}
FILE_WIDTH_MM: Final = 1500.0  # of the sheet that an SVG or DXF file lays its pieces on
_MAP_MM: Final = (150.0, 120.0)

Kind = Literal["pdf", "plate", "svg", "dxf"]


@dataclass(frozen=True, kw_only=True)
class PrintOrder:
    """Sides of a version, on pages of a paper or on a roll so many mm wide.

    `roll_mm` is None for pages. Everything that is made refuses (GeometryRefused) what cannot be
    drafted; a roll too narrow for a piece refuses TooNarrow.
    """

    version: PatternVersion
    sides: tuple[str, ...]
    with_old_line: bool
    cloth: Cloth
    paper: Paper
    roll_mm: float | None = None

    @cached_property
    def heading(self) -> Heading:
        old = self.version.parent if self.with_old_line else None
        return Heading(
            pattern=str(self.version.pattern.number),
            version=self.version.number,
            dated=date_format(timezone.localtime(self.version.made_at), "j M Y"),
            old_version=old.number if old else None,
        )

    @cached_property
    def patterns(self) -> tuple[Side, ...]:
        old = self.version.parent if self.with_old_line else None
        return tuple(
            Side(
                side=side,
                after=SidePattern.read(self.version.sides[side]),
                before=SidePattern.read(old.sides[side]) if old and side in old.sides else None,
            )
            for side in self.sides
        )

    @cached_property
    def drawn(self) -> tuple[Drawn, ...]:
        return drawings(self.patterns, self.heading, self.cloth)

    @cached_property
    def told(self) -> tuple[str, ...]:
        """What the print is, line by line."""
        lines = (self.heading.words, self._sides, self.heading.dated)
        if self.heading.old_version is None:
            return lines
        return (*lines, f"old line: version {self.heading.old_version}")

    @property
    def title(self) -> str:
        return ", ".join(self.told)

    @cached_property
    def tiling(self) -> Tiling:
        return Tiling.fewest(self.drawn, self.paper)

    @cached_property
    def roll(self) -> Layout:
        """The pieces with the square to measure, on the roll within its margins."""
        square = check_square(self.told, with_old_line=self.heading.old_version is not None)
        inner = (self.roll_mm or 0.0) - 2 * MARGIN_MM
        return Layout.within([square, *self.drawn], inner)

    @property
    def pages(self) -> int:
        return 1 if self.roll_mm else self.tiling.pages

    @property
    def length_mm(self) -> float:
        """Length of paper that comes off the roll."""
        return self.roll.height_mm + 2 * MARGIN_MM

    def map_svg(self) -> str:
        """The map of the pages, to be shown before printing; pages only."""
        return drawing_svg(page_map(self.tiling, *_MAP_MM))

    def filename(self, kind: Kind) -> str:
        end = "plate.pdf" if kind == "plate" else f"full-size.{kind}"
        sides = "both" if len(self.sides) > 1 else self.sides[0]
        return f"{self.heading.pattern}-version-{self.heading.version}-{sides}-{end}"

    def made(self, kind: Kind) -> bytes:
        """The file itself; the same order gives the same bytes, but a DXF tells its own time."""
        if kind == "plate":
            return plate_pdf(self.patterns, self.heading, self.paper)
        if kind == "pdf" and self.roll_mm:
            return one_sheet_pdf(self.roll, title=self.title)
        if kind == "pdf":
            old = self.heading.old_version is not None
            return tiled_pdf(self.tiling, self.told, title=self.title, with_old_line=old)
        width = max(FILE_WIDTH_MM, needed_width_mm(self.drawn))
        layout = Layout.within(self.drawn, width)
        write = svg_file if kind == "svg" else dxf_file
        return write(layout, self.title).encode()

    @property
    def _sides(self) -> str:
        return " and ".join(f"wearer's {side}" for side in self.sides)
