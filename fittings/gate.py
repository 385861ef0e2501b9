"""Whether the pattern that a ticket would make can be walked: what fails now and held before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from fittings.models import SLEEVE_PLACES, Decision, Fitting, Order, Side, Stage
from fittings.refusals import WouldNotWalk
from patterns.geometry.check import Check
from patterns.rules.case import InlayPlace
from patterns.rules.pattern import SidePattern
from patterns.rules.walked import newly_failed, walked

Sides = Mapping[str, Any]
Failing = dict[str, str]


def newly_failing(
    fitting: Fitting, before: Sides, after: Sides, decisions: Iterable[Decision]
) -> list[Failing]:
    """The checks that fail in the sides made (`after`) and held in those they were made from.

    A dict each of side ("left", "right"), check (its id), what and sentence: as a ticket keeps it.
    """
    worked = list(decisions)
    return [
        {"side": side.value, "check": check.id, "what": check.what, "sentence": check.sentence}
        for side in (Side.LEFT, Side.RIGHT)
        for check in _failing(fitting, side, before, after, worked)
    ]


def check_walks(failing: list[Failing], despite: str) -> None:
    """Refuse (WouldNotWalk) what does not walk, with its sentences, unless a reason is written."""
    if failing and not despite.strip():
        said = " ".join(f"{Side(one['side']).label}: {one['sentence']}" for one in failing)
        raise WouldNotWalk(
            f"The pattern would no longer walk. {said} Decide it otherwise, or write down why the "
            "ticket is issued all the same."
        )


def _failing(
    fitting: Fitting, side: Side, before: Sides, after: Sides, decisions: list[Decision]
) -> tuple[Check, ...]:
    checks = walked(
        SidePattern.read(after[side]),
        needs_mm=_needs(fitting, side, decisions),
        left_mm=dict(_left(fitting.order, side)),
    )
    return newly_failed(walked(SidePattern.read(before[side])), checks)


def _needs(fitting: Fitting, side: Side, decisions: list[Decision]) -> Mapping[InlayPlace, float]:
    """Inlay that the decisions use on one side; none before the cloth is cut."""
    needs: Counter[InlayPlace] = Counter()
    if fitting.stage == Stage.MEASURED:
        return needs
    for decision in decisions:
        if decision.side == side and decision.outcome:
            for need in decision.outcome["inlay"]:
                if need["place"] not in SLEEVE_PLACES:
                    continue
                needs[InlayPlace(need["place"])] += need["needed_mm"]
    return needs


def _left(order: Order, side: Side) -> Iterator[tuple[InlayPlace, float]]:
    for inlay in order.inlays.all():
        if inlay.side == side and inlay.place in SLEEVE_PLACES:
            yield InlayPlace(inlay.place), float(inlay.left_mm)
