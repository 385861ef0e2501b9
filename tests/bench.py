"""Figures of speed, side by side in one run, as ratios: `make bench`.

Each row times ours and a measure beside it in turn, several times, and prints the quicker run of
each with their ratio. Absolute milliseconds are this machine's; only the ratios travel.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import perf_counter

ROUNDS = 7


def best(act: Callable[[], object]) -> float:
    started = perf_counter()
    act()
    return perf_counter() - started


def beside(what: str, ours: Callable[[], object], name: str, theirs: Callable[[], object]) -> None:
    """Time both in turn, so that a busy moment of the machine falls on both."""
    ours(), theirs()
    pairs = [(best(ours), best(theirs)) for _ in range(ROUNDS)]
    mine, other = (min(times) * 1000 for times in zip(*pairs, strict=True))
    print(f"{what:44} {mine:9.2f} ms  {name:34} {other:9.2f} ms  ratio {mine / other:7.3f}")


def curves() -> None:
    """Arc length and its inverse on the outline of an armhole, nothing kept from call to call."""
    import numpy as np
    from fontTools.misc.bezierTools import calcCubicArcLength
    from svgpathtools import CubicBezier
    from svgpathtools import Path as OtherPath

    from patterns.geometry.armhole import Armhole
    from patterns.geometry.path import Path

    armhole = Armhole.from_measures(girth_mm=480, pitch_width_mm=140, pitch_height_mm=65)
    spans = armhole.curve.beziers()

    def theirs() -> OtherPath:
        return OtherPath(*(CubicBezier(*(complex(*p) for p in span)) for span in spans))

    def ours() -> Path:
        return Path(name="outline", spans_mm=spans)

    def by_font_tools() -> float:
        return sum(calcCubicArcLength(*map(tuple, span), tolerance=1e-9) for span in spans)

    whole = ours().length_mm
    for name, length in (
        ("svgpathtools", theirs().length(error=1e-12)),
        ("fontTools", by_font_tools()),
    ):
        print(f"arc length agrees with {name} to {abs(whole - length) / length:.1e}")
    wanted = whole * (np.arange(40) + 0.5) / 40
    their_places = [theirs().ilength(s, s_tol=1e-9 * whole, error=1e-12) for s in wanted[:3]]
    apart = [
        abs(complex(*ours().point(ours().place_at(s))) - theirs().point(t))
        for s, t in zip(wanted[:3], their_places, strict=True)
    ]
    print(f"places by arc length agree with svgpathtools to {max(apart) / whole:.1e} of the whole")

    beside(
        f"arc length of an outline of {len(spans)} spans",
        lambda: ours().length_mm,
        "svgpathtools, 1e-9",
        lambda: theirs().length(error=1e-9),
    )
    beside("the same", lambda: ours().length_mm, "fontTools, 1e-9", by_font_tools)
    beside(
        "40 places on it by arc length",
        lambda: [ours().place_at(s) for s in wanted],
        "svgpathtools ilength, 1e-9",
        lambda: [theirs().ilength(s, s_tol=1e-9 * whole, error=1e-9) for s in wanted],
    )


def craft() -> None:
    from patterns.drawing.figure import three_views
    from patterns.geometry.draft import draft
    from patterns.geometry.hanging import Hanging
    from patterns.geometry.walking import walk
    from patterns.rules.document import read_case
    from patterns.rules.hang import hang_of
    from patterns.rules.propose import propose
    from tests.rules.cases import ARMHOLE, sleeve
    from tests.rules.test_document import document

    cut = sleeve()
    hung = Hanging.of(cut, ARMHOLE, hang_of(cut, ARMHOLE))
    beside(
        "re-cut with all checks",
        lambda: walk(draft(cut, ARMHOLE), ARMHOLE, cut),
        "the draft alone",
        lambda: draft(cut, ARMHOLE),
    )
    beside(
        "three views of a sleeve",
        lambda: three_views(None, hung, side="left", scale=0.25),
        "the draft alone",
        lambda: draft(cut, ARMHOLE),
    )
    readings = (
        {"id": "a", "what": "pitch", "cuff_offset_mm": 63, "drop_mm": 600},
        {"id": "b", "what": "elbow_direction", "turn_deg": 9},
    )
    whole = document(*readings)
    beside(
        "readings of a sleeve to corrections",
        lambda: propose(read_case(whole)),
        "the draft alone",
        lambda: draft(cut, ARMHOLE),
    )


@contextmanager
def demo_shop() -> Iterator[None]:
    """A demo shop in a test database of its own."""
    from django.db import connection
    from django.test.utils import setup_test_environment, teardown_test_environment

    from fittings.demo.shop import open_shop

    setup_test_environment()
    name = connection.creation.create_test_db(verbosity=0)
    try:
        open_shop()
        yield
    finally:
        connection.creation.destroy_test_db(name, verbosity=0)
        teardown_test_environment()


def pages() -> None:
    from django.contrib.auth import get_user_model
    from django.test import Client
    from django.urls import reverse

    from fittings.models import Fitting, Ticket

    client = Client()
    client.force_login(get_user_model().objects.get(username="ines"))

    def bare() -> None:
        _ok(client, "/health/")

    fitting = Fitting.objects.filter(signed_at=None).order_by("-pk")[0]
    ticket = Ticket.objects.all()[0]
    for what, path in (
        ("today", "/"),
        ("customers", "/customers/"),
        ("one customer", "/customers/1/"),
        ("a fitting with its proposals", fitting.get_absolute_url()),
        ("a ticket", ticket.get_absolute_url()),
    ):
        beside(f"page: {what}", lambda p=path: _ok(client, p), "bare view, one query", bare)
    made = ticket.pattern_after
    if made is not None:
        tiled = reverse("pattern-paper", args=[made.pattern_id, made.number])
        tiled += "?side=left&paper=a4"
        beside("pattern at true size, tiled", lambda: _ok(client, tiled), "plain PDF", plain_pdf)
    paper = f"{ticket.get_absolute_url()}paper.pdf"
    beside("ticket PDF with drawings", lambda: _ok(client, paper), "plain text PDF", plain_pdf)


def papers() -> None:
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


def _ok(client: object, path: str) -> None:
    answer = client.get(path)  # type: ignore[attr-defined]
    if answer.status_code != 200:
        raise SystemExit(f"{path} answered {answer.status_code}")


def plain_pdf() -> bytes:
    from weasyprint import HTML

    text = "<p>Turn the sleeve in the armhole: cuff forward, 8 mm.</p>" * 40
    return bytes(HTML(string=f"<html lang=en><title>x</title>{text}</html>").write_pdf())


def main() -> None:
    with tempfile.TemporaryDirectory() as var:
        os.environ["TAILORSHOP_VAR"], os.environ["TAILORSHOP_DEBUG"] = var, "1"
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tailorshop.settings")
        import django

        django.setup()
        curves()
        craft()
        with demo_shop():
            pages()
            papers()


if __name__ == "__main__":
    sys.exit(main())
