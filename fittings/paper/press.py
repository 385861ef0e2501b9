"""HTML to PDF, with nothing let in from outside: only what the page holds and the shop's fonts."""

# The layout library has no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

import re
from base64 import b64decode
from functools import cache
from hashlib import sha256
from html import unescape
from threading import Lock
from typing import Final

from django.template.loader import get_template
from weasyprint import CSS, HTML, Document
from weasyprint.text.fonts import FontConfiguration

from patterns.drawing.embedded import HELD_SCHEME, PLATE, EmbeddedOnly
from patterns.drawing.inked import Inked
from patterns.unseen import without_unseen

# By kind of paper its rules; an A5 ticket is an A4 one, and what A5 has otherwise.
STYLES: Final = {
    "A4": ("paper/fonts.css", "paper/paper.css"),
    "A5": ("paper/fonts.css", "paper/paper.css", "paper/a5.css"),
    "report": ("paper/fonts.css", "paper/glance.css"),
}
# Each of them has pages of its own: `side` of a section, in ticket.html.
SIDES: Final = ("left", "right", "body")

_HELD: Final = re.compile(r'src="(data:image/[^"]+)"')

# One layout at a time: the font configuration is shared, and a ticket takes a fraction of a second.
_ONE_AT_A_TIME: Final = Lock()


@cache
def _styled(size: str) -> tuple[FontConfiguration, CSS]:
    """The fonts and the rules of a kind of paper."""
    fonts = FontConfiguration()
    text = "".join(get_template(name).render({"sides": SIDES}) for name in STYLES[size])
    return fonts, CSS(string=text, font_config=fonts, url_fetcher=EmbeddedOnly())


def laid_out(html: str, size: str = "A4") -> Document:
    """The pages of a paper; `document.pages` can be counted before anything is written."""
    short, held = _lifted(html)
    short = without_unseen(short)  # an older record may hold signs that turn amounts round
    with _ONE_AT_A_TIME:
        fonts, css = _styled(size)
        plates = {
            name: Inked(svg=b64decode(address.removeprefix(PLATE)).decode(), fonts=fonts)
            for name, address in held.items()
            if address.startswith(PLATE)
        }
        page = HTML(string=short, url_fetcher=EmbeddedOnly(held))
        document: Document = page.render(stylesheets=[css], font_config=fonts, cache=plates)
        return document


def _lifted(html: str) -> tuple[str, dict[str, str]]:
    """The page with a short name for each picture it holds, and the pictures by these names.

    The layout reads every attribute several times over, and a drawing is 20,000 signs.
    """
    held: dict[str, str] = {}

    def put(found: re.Match[str]) -> str:
        name = f"{HELD_SCHEME}{sha256(found[1].encode()).hexdigest()}"
        held[name] = unescape(found[1])
        return f'src="{name}"'

    return _HELD.sub(put, html), held


def written(document: Document) -> bytes:
    """The PDF, tagged so that it can be read aloud; the same pages give the same bytes."""
    with _ONE_AT_A_TIME:
        pdf: bytes = document.write_pdf(pdf_variant="pdf/ua-1")
        return pdf
