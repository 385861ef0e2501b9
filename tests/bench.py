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


def craft() -> None:
    from svgpathtools import CubicBezier
    from svgpathtools import Path as OtherPath

    from patterns.geometry.armhole import Armhole
    from patterns.geometry.draft import draft
    from patterns.geometry.path import Path
    from patterns.rules.document import read_case
    from patterns.rules.propose import propose
    from tests.rules.cases import sleeve
    from tests.rules.test_document import document

    armhole = Armhole.from_measures(girth_mm=480, pitch_width_mm=140, pitch_height_mm=65)
    spans = draft(sleeve(), armhole).top.head.spans_mm

    def their_path() -> OtherPath:
        return OtherPath(*(CubicBezier(*(complex(*p) for p in span)) for span in spans))

    beside(
        "arc length of a head, uncached",
        lambda: Path(name="head", spans_mm=spans).length_mm,
        "svgpathtools, error 1e-9",
        lambda: their_path().length(error=1e-9),
    )
    whole_mm = Path(name="head", spans_mm=spans).length_mm
    shares = [(n + 0.5) / 50 for n in range(50)]

    def our_places() -> list[float]:
        path = Path(name="head", spans_mm=spans)
        return [path.place_at(whole_mm * share) for share in shares]

    def their_places() -> list[float]:
        path = their_path()
        return [path.ilength(whole_mm * s, s_tol=1e-9 * whole_mm, error=1e-9) for s in shares]

    beside("50 places by arc length, uncached", our_places, "svgpathtools, 1e-9", their_places)
    readings = (
        {"id": "a", "what": "pitch", "cuff_offset_mm": 63, "drop_mm": 600},
        {"id": "b", "what": "elbow_direction", "turn_deg": 9},
    )
    whole = document(*readings)
    beside(
        "readings of a sleeve to corrections",
        lambda: propose(read_case(whole)),
        "one draft of that sleeve",
        lambda: draft(sleeve(), armhole),
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
    paper = f"{ticket.get_absolute_url()}paper.pdf"
    beside("ticket PDF with drawings", lambda: _ok(client, paper), "plain text PDF", plain_pdf)


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
        craft()
        with demo_shop():
            pages()


if __name__ == "__main__":
    sys.exit(main())
