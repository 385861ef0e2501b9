"""HTML to PDF, with nothing let in from outside: only what the page holds and the shop's fonts."""

# The layout library has no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from threading import Lock
from typing import Final

from django.template.loader import get_template
from weasyprint import CSS, HTML, Document
from weasyprint.text.fonts import FontConfiguration

from patterns.drawing.embedded import EmbeddedOnly

# By kind of paper its rules; an A5 ticket is an A4 one, and what A5 has otherwise.
STYLES: Final = {
    "A4": ("paper/paper.css",),
    "A5": ("paper/paper.css", "paper/a5.css"),
    "report": ("paper/glance.css",),
}

# One layout at a time: the font configuration is shared, and a ticket takes a fraction of a second.
_ONE_AT_A_TIME: Final = Lock()


@cache
def _styled(size: str) -> tuple[FontConfiguration, CSS]:
    """The fonts and the rules of a kind of paper."""
    fonts = FontConfiguration()
    text = "".join(get_template(name).render() for name in STYLES[size])
    return fonts, CSS(string=text, font_config=fonts, url_fetcher=EmbeddedOnly())


def laid_out(html: str, size: str = "A4") -> Document:
    """The pages of a paper; `document.pages` can be counted before anything is written."""
    with _ONE_AT_A_TIME:
        fonts, css = _styled(size)
        page = HTML(string=html, url_fetcher=EmbeddedOnly())
        document: Document = page.render(stylesheets=[css], font_config=fonts)
        return document


def joined(papers: Iterable[tuple[str, str]]) -> bytes:
    """Several papers, each its HTML and its size, as one PDF in this order; at least one."""
    documents = [laid_out(html, size) for html, size in papers]
    pages = [page for document in documents for page in document.pages]
    return written(documents[0].copy(pages))


def written(document: Document) -> bytes:
    """The PDF, tagged so that it can be read aloud; the same pages give the same bytes."""
    with _ONE_AT_A_TIME:
        pdf: bytes = document.write_pdf(pdf_variant="pdf/ua-1")
        return pdf
