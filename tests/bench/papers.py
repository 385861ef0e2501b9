"""Papers of the demo shop, made anew each time, beside plain text set by the same library."""

from __future__ import annotations

from pathlib import Path

from tests.bench.beside import beside
from tests.bench.shops import LONG, shop


def papers(folder: Path) -> None:
    print(shop(folder / "demo").program("tests.bench.papers", seconds=LONG), end="")


def main() -> None:
    """Run within the demo shop."""
    tickets()
    true_size()


def tickets() -> None:
    """Tickets on A4, made anew each time, beside their own words as plain text on as many pages."""
    from io import BytesIO

    from pypdf import PdfReader
    from weasyprint import HTML

    from fittings.models import Ticket
    from fittings.paper import ticket_pdf

    for row in Ticket.objects.order_by("pk")[4:12:2]:
        read = PdfReader(BytesIO(ticket_pdf(row, unit="cm")))
        words = [page.extract_text().split() for page in read.pages]
        pages = "".join(f"<section>{_lines(page)}</section>" for page in words)
        style = "section + section { break-before: page }"
        plain = f"<html lang=en><title>x</title><style>{style}</style>{pages}</html>"
        beside(
            f"ticket PDF, {len(words)} pages, {sum(map(len, words))} words",
            lambda r=row: ticket_pdf(r, unit="cm"),
            "its words as plain text PDF",
            lambda h=plain: HTML(string=h).write_pdf(),
        )


def _lines(words: list[str]) -> str:
    from html import escape

    lines = (" ".join(words[n : n + 10]) for n in range(0, len(words), 10))
    return "".join(f"<p>{escape(line)}</p>" for line in lines)


def true_size() -> None:
    """A pattern at true size, tiled, beside one page of plain text."""
    from django.contrib.auth import get_user_model
    from django.test import Client
    from django.urls import reverse

    from fittings.models import Ticket

    client = Client(HTTP_HOST="localhost")
    client.force_login(get_user_model().objects.get(username="ines"))
    made = Ticket.objects.exclude(pattern_after=None).order_by("pk")[0].pattern_after
    path = reverse("pattern-paper", args=[made.pattern_id, made.number]) + "?side=left&paper=a4"

    def tiled() -> None:
        if (answer := client.get(path)).status_code != 200:
            raise SystemExit(f"{path} answered {answer.status_code}")

    beside("pattern at true size, tiled", tiled, "one page of plain text PDF", plain_pdf)


def plain_pdf() -> bytes:
    from weasyprint import HTML

    text = "<p>Turn the sleeve in the armhole: cuff forward, 8 mm.</p>" * 40
    return bytes(HTML(string=f"<html lang=en><title>x</title>{text}</html>").write_pdf())
