"""How each operation is built again with another amount."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from patterns.geometry.refusals import BadMeasure
from patterns.geometry.section import Section, elbow_turn
from patterns.rules import head, scye, tube
from patterns.rules.case import Case
from patterns.rules.correction import Correction, Grounds, Meaning, Operation
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
        return turn_elbow(case, _turn_for(case, amount_mm), old.grounds)
    if old.hindarm_mm is not None and old.hindarm_mm.largest():
        return move_hindarm_only(case, amount_mm, old.grounds)
    return move_forearm_only(case, amount_mm, old.grounds)


def _turn_for(case: Case, each_seam_mm: float) -> float:
    """Degrees the elbow turns when both seams move by so much at the elbow."""
    sleeve = case.sleeve
    section = Section(girth_mm=sleeve.girth_mm.elbow, ratio=sleeve.section_ratio)
    hindarm, forearm = sleeve.hindarm_shift_mm.elbow, sleeve.forearm_shift_mm.elbow
    ironed = sleeve.ironed_share

    def points(moved_mm: float) -> float:
        return elbow_turn(
            section,
            hindarm + moved_mm,
            forearm + moved_mm,
            ironed_hindarm=ironed.hindarm,
            ironed_forearm=ironed.forearm,
        )

    return points(each_seam_mm) - points(0.0)


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
