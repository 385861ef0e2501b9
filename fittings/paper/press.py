"""HTML to PDF, with nothing let in from outside: only what the page holds and the shop's fonts."""

# The layout library has no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any, Final

from django.conf import settings
from django.template.loader import get_template
from weasyprint import CSS, HTML, Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

STATIC: Final = Path(settings.BASE_DIR) / "static"
FONT_SCHEME: Final = "shop-font:"
FONTS: Final = {path.stem: path for path in sorted((STATIC / "fonts").glob("*.woff2"))}

# By kind of paper its rules; an A5 ticket is an A4 one, and what A5 has otherwise.
STYLES: Final = {
    "A4": ("paper/paper.css",),
    "A5": ("paper/paper.css", "paper/a5.css"),
    "report": ("paper/glance.css",),
}

# One layout at a time: the font configuration is shared, and a ticket takes a fraction of a second.
_ONE_AT_A_TIME: Final = Lock()


class NotEmbedded(ValueError):
    """The page asks for something that it does not hold itself."""


class EmbeddedOnly(URLFetcher):
    """Fetches `data:` and the fonts of the shop by name; never a file, never the network."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols={"data"}, allow_redirects=False, fail_on_errors=True)

    def fetch(self, url: str, headers: Any = None) -> Any:
        if url.startswith(FONT_SCHEME):
            return _font(url)
        if not url.startswith("data:"):
            raise NotEmbedded(f"The paper may not fetch {url[:80]}.")
        return super().fetch(url, headers)


def _font(url: str) -> URLFetcherResponse:
    path = FONTS.get(url.removeprefix(FONT_SCHEME))
    if path is None:
        raise NotEmbedded(f"{url[:80]} is not a font of the shop.")
    return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": "font/woff2"})


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
