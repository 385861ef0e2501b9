"""What the paper may fetch: nothing that it does not hold itself."""

import logging
from pathlib import Path

import pypdfium2
import pytest
from weasyprint import HTML
from weasyprint.urls import FatalURLFetchingError

from fittings.paper.press import laid_out, written
from patterns.drawing.embedded import FONT_SCHEME, FONTS, EmbeddedOnly, NotEmbedded

SECRET = "the name of somebody else's customer"


@pytest.mark.parametrize(
    "url",
    [
        "file:///etc/passwd",
        "http://127.0.0.1:8000/",
        "https://example.com/a.css",
        "ftp://example.com/a",
        "paper.css",
        f"{FONT_SCHEME}../../settings",
        f"{FONT_SCHEME}unknown",
    ],
)
def test_fetcher_refuses_everything_but_data_and_its_own_fonts(url: str) -> None:
    with pytest.raises(NotEmbedded):
        EmbeddedOnly().fetch(url)


def test_fetcher_gives_data_and_shipped_fonts() -> None:
    assert EmbeddedOnly().fetch("data:text/plain,chalk").read() == b"chalk"
    for name in FONTS:
        assert EmbeddedOnly().fetch(f"{FONT_SCHEME}{name}").read()[:4] == b"wOF2"


@pytest.mark.parametrize(
    "attack",
    [
        '<link rel="attachment" href="{url}">',
        '<a rel="attachment" href="{url}">paper</a>',
        '<img src="{url}" alt="paper">',
        '<link rel="stylesheet" href="{url}">',
        '<object data="{url}"></object>',
        "<style>@import url({url})</style>",
        '<svg><image href="{url}"/></svg>',
    ],
)
def test_a_local_file_never_comes_into_the_pdf(
    attack: str, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.CRITICAL, logger="weasyprint")
    secret = tmp_path / "secret.txt"
    secret.write_text(SECRET, encoding="utf-8")
    page = f"<title>x</title><p>paper</p>{attack.replace('{url}', secret.as_uri())}"
    try:
        pdf = written(laid_out(page))
    except FatalURLFetchingError:
        return  # no paper at all
    document = pypdfium2.PdfDocument(pdf)
    assert document.count_attachments() == 0
    assert SECRET not in "".join(p.get_textpage().get_text_range() for p in document)
    assert SECRET.encode() not in pdf


def test_the_same_attack_succeeds_without_our_fetcher(tmp_path: Path) -> None:
    """So that the test above is known to be able to fail."""
    secret = tmp_path / "secret.txt"
    secret.write_text(SECRET, encoding="utf-8")
    page = f'<title>x</title><link rel="attachment" href="{secret.as_uri()}"><p>paper</p>'
    document = pypdfium2.PdfDocument(HTML(string=page).write_pdf())
    assert document.count_attachments() == 1
