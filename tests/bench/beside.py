"""Two acts timed in turn, by the time of the processor, and the ratio of their quicker runs."""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

ROUNDS = 7


def best(act: Callable[[], object]) -> float:
    started = process_time()
    act()
    return process_time() - started


def beside(what: str, ours: Callable[[], object], name: str, theirs: Callable[[], object]) -> None:
    """Time both in turn, so that a slow moment of the machine falls on both."""
    ours(), theirs()
    pairs = [(best(ours), best(theirs)) for _ in range(ROUNDS)]
    mine, other = (min(times) * 1000 for times in zip(*pairs, strict=True))
    print(f"{what:44} {mine:9.2f} ms  {name:34} {other:9.2f} ms  ratio {mine / other:7.3f}")
