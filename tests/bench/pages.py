"""The main pages of two shops, a small and a big one, beside a bare view and Django's admin."""

from __future__ import annotations

import json
from pathlib import Path
from statistics import quantiles
from tempfile import TemporaryDirectory
from typing import Any

from tests.bench.shops import LONG, cluster, shop

SMALL = 1000


def pages(folder: Path, big: int) -> None:
    """On SQLite, and on PostgreSQL where a server can be started."""
    said = {}
    for size in (SMALL, big):
        said[size] = _asked(folder / str(size), size)
    _told("SQLite", said[SMALL], said[big])
    for size in (SMALL, big):
        with cluster() as address, TemporaryDirectory() as gone:
            said[size] = _asked(Path(gone), size, address) if address else {}
    if said[big]:
        _told("PostgreSQL", said[SMALL], said[big])


def _asked(folder: Path, size: int, address: str = "") -> dict[str, Any]:
    made = shop(folder, size, address=address, DJANGO_SETTINGS_MODULE="tests.bench.settings")
    asked: dict[str, Any] = json.loads(made.program("tests.bench.asked", seconds=LONG))
    return asked


def _told(database: str, small: dict[str, Any], big: dict[str, Any]) -> None:
    print(f"\nMain pages on {database}, asked for in process, of {big['customers']} customers.")
    print("Requests a second of processor time; the p95 of ours in ms; the ratio of the rates.")
    for page in big["asked"]:
        _beside(page)
    print(f"\nGrowth: p95 in ms at {small['customers']} and {big['customers']}.")
    for few, many in zip(small["asked"], big["asked"], strict=True):
        low, high = p95(few["ours"]), p95(many["ours"])
        print(f"{few['page']:34} {low:8.1f} {high:8.1f}  ratio {high / low:5.2f}")


def p95(seconds: list[float]) -> float:
    """In ms."""
    return 1000 * quantiles(seconds, n=20, method="inclusive")[-1]


def rate(seconds: list[float]) -> float:
    return len(seconds) / sum(seconds)


def _beside(page: dict[str, Any]) -> None:
    ours = rate(page["ours"])
    line = f"{page['page']:34} {ours:7.1f}/s  p95 {p95(page['ours']):7.1f}"
    for name, times in page["beside"].items():
        theirs = rate(times)
        line += f"  | {name} {theirs:7.1f}/s, ratio {ours / theirs:6.3f}"
    print(line)
