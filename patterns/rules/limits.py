"""How far the changes of one side may go together: quarters, inlays, what a sleeve can be.

Every limit is linear in the unknowns, so that what one change takes another has no more. Changes
of the seams are counted at the elbow; at the other levels they go with the girth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, radians
from typing import Final, NamedTuple

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole, Quarter
from patterns.geometry.pitch import angle_from_shift, hindarm_over_forearm
from patterns.geometry.roots import last_where
from patterns.geometry.sleeve import LEVELS
from patterns.rules import words
from patterns.rules.case import Case, InlayPlace, Stage
from patterns.rules.hang import fold_difference_mm
from patterns.rules.turning import RECUT_PAST_MM

MOST_BEND_DEG: Final = 60.0
# A seam is kept so far from the edge of its quarter, that no rounding puts it over.
_OFF_EDGE_MM: Final = 1e-3


class Amounts(NamedTuple):
    """The unknowns, mm, signed as the corrections are; the seams at the elbow.

    `hindarm`, `forearm`: re-drafted with the turning on the new seams. `seam_only`: the hindarm
    moved by the iron.
    """

    turn: float = 0.0
    recut: float = 0.0
    hindarm: float = 0.0
    forearm: float = 0.0
    seam_only: float = 0.0
    bend: float = 0.0
    length: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """parts . amounts <= most (mm, not below 0), and what happens beyond it, in words.

    A hard limit is where the laws end; the others are the shop's to overrule.
    """

    parts: Amounts
    most: float
    beyond: str
    hard: bool = False

    def over_mm(self, amounts: Amounts) -> float:
        """How far the amounts go beyond, mm; below 0 where they stay within."""
        gone = sum(p * a for p, a in zip(self.parts, amounts, strict=True))
        return gone - self.most


def limits_of(case: Case) -> tuple[Limit, ...]:
    found = [*_in_armhole(case), *_round_tube(case), *_of_pitch(case), *_of_bend(case)]
    if case.stage is not Stage.MEASURED:
        found += _inlays(case)
    return tuple(limit for limit in found if limit.most < inf)


def as_rows(limits: tuple[Limit, ...]) -> tuple[FloatArray, FloatArray]:
    """(k, 7) and (k,): every limit as one line of rows . amounts <= most."""
    rows = np.array([limit.parts for limit in limits], dtype=np.float64).reshape(-1, len(Amounts()))
    return rows, np.array([limit.most for limit in limits], dtype=np.float64)


def _both_ways(
    parts: Amounts, low: float, high: float, said: str, *, hard: bool = False
) -> Iterator[Limit]:
    back = Amounts(*(-part for part in parts))
    yield Limit(parts=parts, most=max(0.0, high), beyond=said, hard=hard)
    yield Limit(parts=back, most=max(0.0, -low), beyond=said, hard=hard)


def _in_armhole(case: Case) -> Iterator[Limit]:
    """Each seam keeps its quarter, by each seam move alone and by all changes together."""
    girth = case.sleeve.girth_mm
    head = girth.biceps / girth.elbow
    (down, up), front = _room(case.armhole, back=True), _room(case.armhole, back=False)
    hindarm_out = "it takes the hindarm seam out of the upper back quarter of the armhole"
    forearm_out = "it takes the forearm seam out of the lower front quarter of the armhole"
    for parts in (
        Amounts(turn=1.0, hindarm=-head, seam_only=-head),
        Amounts(hindarm=-head),
        Amounts(seam_only=-head),
    ):
        yield from _both_ways(parts, down, up, hindarm_out)
    for parts in (Amounts(turn=1.0, forearm=-head), Amounts(forearm=-head)):
        yield from _both_ways(parts, *front, forearm_out)


def _room(armhole: Armhole, *, back: bool) -> tuple[float, float]:
    """How far a seam may go back and on along the armhole (mm) and keep its own quarter.

    Without end for a seam that stands elsewhere already: it has no quarter to keep.
    """
    place = armhole.back_pitch_s_mm if back else armhole.front_pitch_s_mm
    own = Quarter.UPPER_BACK if back else Quarter.LOWER_FRONT
    if armhole.quarter_at(place) is not own:
        return -inf, inf
    rearmost, lowest, foremost, highest = armhole.curve.bounds_mm
    edges = armhole.curve.at_width((rearmost + foremost) / 2.0)
    edges += armhole.curve.at_height((lowest + highest) / 2.0)
    ahead = (np.array(edges) - place) % armhole.girth_mm
    low, high = float((ahead - armhole.girth_mm).max()), float(ahead.min())
    return low + _OFF_EDGE_MM, high - _OFF_EDGE_MM


def _round_tube(case: Case) -> Iterator[Limit]:
    """No seam passes a quarter of the girth at any level."""
    sleeve, said = case.sleeve, "a seam would pass a quarter of the sleeve's girth"
    for level in LEVELS:
        girth = sleeve.girth_mm.at(level)
        part, quarter = girth / sleeve.girth_mm.elbow, girth / 4.0
        out, into = getattr(sleeve.hindarm_shift_mm, level), getattr(sleeve.forearm_shift_mm, level)
        for moves in (Amounts(hindarm=part), Amounts(hindarm=part, seam_only=part)):
            yield from _both_ways(moves, -quarter - out, quarter - out, said, hard=True)
        moves = Amounts(forearm=part)
        yield from _both_ways(moves, -quarter - into, quarter - into, said, hard=True)


def _of_pitch(case: Case) -> Iterator[Limit]:
    past = f"it is past {words.mm(RECUT_PAST_MM)}, where a sleeve is recut and not turned"
    yield from _both_ways(Amounts(turn=1.0), -RECUT_PAST_MM, RECUT_PAST_MM, past)
    for place in (InlayPlace.TOP_SLEEVE_HEAD, InlayPlace.UNDER_SLEEVE_HEAD):
        left = case.inlays_mm.get(place)
        if left is not None and case.stage is not Stage.MEASURED:
            most = _recut_for(case, left)
            yield Limit(parts=Amounts(recut=1.0), most=most, beyond=_short(place, left))


def _recut_for(case: Case, cloth_mm: float) -> float:
    """The recut (mm along the armhole) that raises the hindarm's top by so much cloth."""
    armhole, hang = case.armhole, case.sleeve.drafted_hang_deg
    height, width = armhole.pitch_height_mm, armhole.pitch_width_mm

    def raised(shift_mm: float) -> float:
        after = hang + angle_from_shift(shift_mm, armhole.girth_mm)
        return hindarm_over_forearm(after, height, width) - before

    before = hindarm_over_forearm(hang, height, width)
    most = armhole.girth_mm / 8.0
    if raised(most) <= cloth_mm:
        return inf
    return last_where(lambda shift: raised(shift) <= cloth_mm, 0.0, most)


def _of_bend(case: Case) -> Iterator[Limit]:
    """The hindarm stays longer than the forearm, and the flat sleeve can still be cut."""
    now = fold_difference_mm(case.sleeve)
    most = case.sleeve.girth_mm.elbow / 2.0 * radians(MOST_BEND_DEG)
    less, more = Amounts(bend=-1.0), Amounts(bend=1.0)
    yield Limit(parts=less, most=max(0.0, now), beyond="it leaves the sleeve no elbow")
    yield Limit(parts=more, most=max(0.0, most - now), beyond="no flat sleeve is bent so far")


def _inlays(case: Case) -> Iterator[Limit]:
    girth = case.sleeve.girth_mm
    most = max(girth.at(level) for level in LEVELS) / girth.elbow
    hindarm = (
        Amounts(hindarm=most),
        Amounts(seam_only=most),
        Amounts(hindarm=most, seam_only=most),
    )
    needs = {
        InlayPlace.UNDER_SLEEVE_HINDARM: (hindarm, 1.0),
        InlayPlace.TOP_SLEEVE_HINDARM: (hindarm, -1.0),
        InlayPlace.TOP_SLEEVE_FOREARM: ((Amounts(forearm=most),), 1.0),
        InlayPlace.UNDER_SLEEVE_FOREARM: ((Amounts(forearm=most),), -1.0),
        InlayPlace.CUFF: ((Amounts(length=1.0),), 1.0),
    }
    for place, (moves, way) in needs.items():
        left = case.inlays_mm.get(place)
        if left is not None:
            for parts in moves:
                signed = Amounts(*(way * part for part in parts))
                yield Limit(parts=signed, most=left, beyond=_short(place, left))


def _short(place: InlayPlace, left_mm: float) -> str:
    return f"the inlay at the {place.words} is only {words.mm(left_mm)}"
