"""Drawings to PDF at true size: one drawing a page, nothing let in but the shop's own fonts."""

# The layout library has no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from html import escape
from threading import Lock
from typing import Final
from xml.etree import ElementTree as ET  # written here, never read # nosec B405

from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

from patterns.drawing.embedded import FONT_SCHEME, HELD_SCHEME, EmbeddedOnly
from patterns.drawing.full_scale.first_page import first_page
from patterns.drawing.full_scale.layers import Drawn
from patterns.drawing.full_scale.layout import Layout
from patterns.drawing.full_scale.markup import piece_group, svg_root
from patterns.drawing.full_scale.tiles import MARGIN_MM, Tiling
from patterns.drawing.inked import Inked

DIGITS: Final = 4  # of a mm
HEADING_MM: Final = 6.0
GAP_MM: Final = 3.0  # to the right of and under each of several plates on a page
_FACE: Final = f"{FONT_SCHEME}atkinson-hyperlegible-next-latin-%s-normal"
_DRAWING: Final = re.compile("<svg .*?<title>(.*?)</title>.*?</svg>", re.DOTALL)
# The font configuration is shared: one layout at a time.
_ONE_AT_A_TIME: Final = Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A drawing as SVG (or headings and figures), and the line of words in the margin over it."""

    svg: str
    told: str


def tiled_pdf(
    tiling: Tiling,
    told: tuple[str, ...],
    *,
    title: str,
    with_old_line: bool,
    with_cut_line: bool = True,
) -> bytes:
    """The first page with square and map, then the tiles in rows, each a page at true size."""
    wide, high = tiling.paper.inner_mm
    first = first_page(tiling, told, with_old_line=with_old_line, with_cut_line=with_cut_line)
    pages = [Page(svg=_svg(first, (0.0, 0.0, wide, high), "map of the pages"), told=title)]
    for tile in tiling.tiles:
        svg = _svg(tiling.drawn(tile), tile.box_mm, f"page {tile.label}")
        pages.append(Page(svg=svg, told=f"{title}: {tiling.told(tile)}"))
    paper = tiling.paper
    return pdf(pages, width_mm=paper.width_mm, height_mm=paper.height_mm, title=title)


def one_sheet_pdf(layout: Layout, *, title: str) -> bytes:
    """The whole layout on one page, with the same margin all round."""
    box = (0.0, 0.0, layout.width_mm, layout.height_mm)
    page = Page(svg=_svg(layout.drawings, box, title), told=title)
    wide, high = layout.width_mm + 2 * MARGIN_MM, layout.height_mm + 2 * MARGIN_MM
    return pdf([page], width_mm=wide, height_mm=high, title=title)


def _svg(drawings: Iterable[Drawn], box: tuple[float, float, float, float], title: str) -> str:
    root = svg_root(box, digits=DIGITS, title=title)
    for drawn in drawings:
        piece_group(root, drawn, digits=DIGITS)
    for element in root.iter("g"):
        element.attrib.pop("id", None)  # a piece lies on several pages, an id may stand once
    return ET.tostring(root, encoding="unicode")


def pdf(pages: Sequence[Page], *, width_mm: float, height_mm: float, title: str) -> bytes:
    """A page of this size for each SVG, inside the margins. The same input gives the same bytes."""
    style = _STYLE % {
        "wide": width_mm,
        "high": height_mm,
        "margin": MARGIN_MM,
        "gap": GAP_MM,
        "heading": HEADING_MM,
    }
    sections = "".join(
        f'<section data-told="{escape(page.told)}">{page.svg}</section>' for page in pages
    )
    head = f'<meta charset="utf-8"><title>{escape(title)}</title>'
    html = f'<!doctype html><html lang="en-gb"><head>{head}</head><body>{sections}</body></html>'
    with _ONE_AT_A_TIME:
        fonts, faces = _fonts()
        css = CSS(string=style, font_config=fonts, url_fetcher=EmbeddedOnly())
        short, plates = _lifted(html, fonts)
        document = HTML(string=short, url_fetcher=EmbeddedOnly())
        made: bytes = document.write_pdf(stylesheets=[faces, css], font_config=fonts, cache=plates)
        return made


def _lifted(html: str, fonts: FontConfiguration) -> tuple[str, dict[str, Inked]]:
    """The pages with a picture by name for each drawing in them, and the drawings."""
    plates: dict[str, Inked] = {}

    def put(found: re.Match[str]) -> str:
        name = f"{HELD_SCHEME}{len(plates)}"
        plates[name] = Inked(svg=found[0], fonts=fonts)
        return f'<img src="{name}" alt="{found[1]}">'

    return _DRAWING.sub(put, html), plates


@cache
def _fonts() -> tuple[FontConfiguration, CSS]:
    fonts = FontConfiguration()
    text = "".join(
        f"@font-face {{ font-family: 'Atkinson Hyperlegible Next'; font-weight: {weight};"
        f" src: url('{_FACE % weight}') format('woff2'); }}"
        for weight in (400, 700)
    )
    return fonts, CSS(string=text, font_config=fonts, url_fetcher=EmbeddedOnly())


_STYLE: Final = """
@page { size: %(wide).4fmm %(high).4fmm; margin: %(margin)gmm;
  @top-left { content: string(told); font: 8pt 'Atkinson Hyperlegible Next'; white-space: nowrap;
    vertical-align: bottom; padding-bottom: 1mm; } }
html, body { margin: 0; }
section { font-size: 0; string-set: told attr(data-told); break-after: page; break-inside: avoid; }
section:last-child { break-after: auto; }
img { display: block; overflow: hidden; }
h2 { height: %(heading)gmm; margin: 0; font: 700 10pt 'Atkinson Hyperlegible Next'; }
figure { display: inline-block; margin: 0 %(gap)gmm %(gap)gmm 0; vertical-align: top; }
"""
