"""The main pages of two shops, a small and a big one, beside a bare view and Django's admin."""

from __future__ import annotations

import json
from pathlib import Path
from statistics import quantiles
from typing import Any

from tests.bench.shops import LONG, shop

SMALL = 1000


def pages(folder: Path, big: int) -> None:
    said = {}
    for size in (SMALL, big):
        made = shop(folder / str(size), size, DJANGO_SETTINGS_MODULE="tests.bench.settings")
        said[size] = json.loads(made.program("tests.bench.asked", seconds=LONG))
    print(f"\nMain pages, asked for in process, of a shop of {said[big]['customers']} customers.")
    print("Requests a second of processor time; the p95 of ours in ms; the ratio of the rates.")
    for page in said[big]["asked"]:
        _beside(page)
    print(f"\nGrowth: p95 in ms at {said[SMALL]['customers']} and {said[big]['customers']}.")
    for few, many in zip(said[SMALL]["asked"], said[big]["asked"], strict=True):
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
