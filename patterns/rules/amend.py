"""How each operation is built again with another amount."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from patterns.geometry.refusals import BadMeasure
from patterns.geometry.sleeve import IronedShare
from patterns.rules import head, scye, tube
from patterns.rules.case import Case
from patterns.rules.correction import Correction, Grounds, Meaning, Operation
from patterns.rules.hang import elbow_points_deg
from patterns.rules.moving import move_forearm_only, move_hindarm_only, turn_elbow
from patterns.rules.turning import turn

Build = Callable[[Case, Correction, float], Correction]


def _plain(build: Callable[[Case, float, Grounds], Correction]) -> Build:
    return lambda case, old, amount_mm: build(case, amount_mm, old.grounds)


def _one_way(build: Callable[[Case, float, Grounds], Correction], instead: str) -> Build:
    """An operation that only goes one way; for the other there is no cloth or no sense."""

    def built(case: Case, old: Correction, amount_mm: float) -> Correction:
        if amount_mm <= 0:
            raise BadMeasure(f"This only goes one way: {instead}.")
        return build(case, amount_mm, old.grounds)

    return built


def _seam_shift(case: Case, old: Correction, amount_mm: float) -> Correction:
    if old.meaning is Meaning.ELBOW_TURN:
        part = _hindarm_part(old)
        moved_mm = 2.0 * part * amount_mm, 2.0 * (1.0 - part) * amount_mm
        redrafted = replace(case.sleeve, ironed_share=IronedShare())
        turn_deg = elbow_points_deg(redrafted, *moved_mm) - elbow_points_deg(case.sleeve)
        return turn_elbow(case, turn_deg, old.grounds, hindarm_part=part)
    if old.hindarm_mm is not None and old.hindarm_mm.largest():
        return move_hindarm_only(case, amount_mm, old.grounds)
    return move_forearm_only(case, amount_mm, old.grounds)


def _hindarm_part(old: Correction) -> float:
    """The hindarm's part of an elbow turn's whole move."""
    if old.hindarm_mm is None or old.forearm_mm is None:
        return 0.5
    both_mm = old.hindarm_mm.elbow + old.forearm_mm.elbow
    return old.hindarm_mm.elbow / both_mm if both_mm else 0.5


def _armhole(case: Case, old: Correction, amount_mm: float) -> Correction:
    place = old.particulars.get("armhole_place")
    build = scye.underarm if place == "underarm" else scye.front
    return build(case, amount_mm, old.grounds)


BUILDERS: Final[Mapping[Operation, Build]] = {
    Operation.PITCH: _plain(turn),
    Operation.RECUT: _plain(turn),
    Operation.SEAM_SHIFT: _seam_shift,
    Operation.CROWN: _plain(head.crown),
    Operation.FRONT_OF_HEAD: _one_way(head.front_of_head, "to leave the head as it is, refuse it"),
    Operation.EASE: _plain(head.ease),
    Operation.UNDER_HEAD: _one_way(head.under_head, "a hollow cannot be given back"),
    Operation.WIDTH: _plain(tube.width),
    Operation.LENGTH: _plain(tube.length),
    Operation.BEND: _plain(tube.bend),
    Operation.FOREARM: _one_way(tube.forearm, "to leave the forearm as it is, refuse it"),
    Operation.ARMHOLE: _armhole,
}
