"""What a paper may fetch while it is laid out: what it holds itself, and the shop's fonts."""

# The layout library has no types.
# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from weasyprint.urls import URLFetcher, URLFetcherResponse

FONT_SCHEME: Final = "shop-font:"
HELD_SCHEME: Final = "held:"
# A plate of our own, which `Inked` can draw; for everybody else an SVG.
PLATE: Final = "data:image/svg+xml;plate=own;base64,"
FONTS: Final = {
    path.stem: path
    for path in sorted((Path(__file__).resolve().parents[2] / "static" / "fonts").glob("*.woff2"))
}


class NotEmbedded(ValueError):
    """The page asks for something that it does not hold itself."""


class EmbeddedOnly(URLFetcher):
    """Fetches `data:` and the fonts of the shop by name; never a file, never the network.

    `held`: `data:` addresses by the short name that stands for each in the page.
    The library's own fetcher puts a local file into the PDF when a page links it.
    """

    def __init__(self, held: Mapping[str, str] | None = None) -> None:
        super().__init__(allowed_protocols={"data"}, allow_redirects=False, fail_on_errors=True)
        self.held = held or {}

    def fetch(self, url: str, headers: Any = None) -> Any:
        if url.startswith(FONT_SCHEME):
            return _font(url)
        url = self.held.get(url, url)
        if not url.startswith("data:"):
            raise NotEmbedded(f"The paper may not fetch {url[:80]}.")
        return super().fetch(url, headers)


def _font(url: str) -> URLFetcherResponse:
    path = FONTS.get(url.removeprefix(FONT_SCHEME))
    if path is None:
        raise NotEmbedded(f"{url[:80]} is not a font of the shop.")
    return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": "font/woff2"})
