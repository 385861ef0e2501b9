"""The head of a whole sleeve as one smooth line round the tube, before the seams cut it in two.

The tube is unrolled: x runs in mm from the back fold forward over the crown to the front fold
(half the girth), and on under the arm back to the back fold (the girth); y is down from the crown.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path, spline
from patterns.geometry.refusals import (
    BadMeasure,
    NotchPastEnd,
    PitchesDoNotFit,
    SelfCrossing,
)

# Trade practice, no source: where along the chord each quarter is squared out, and by what share
# of the chord. The front falls steeply into the pitch; it is so full that a crown lowered by the
# usual 10 mm still leaves the front of the head as long as its part of the armhole.
_BACK_AT, _BACK_ROUND = 0.50, 0.13
_FRONT_AT, _FRONT_ROUND = 0.38, 0.14
_LOWEST_AT = 0.45  # the under sleeve's lowest place, from the forearm back, share of its width
_FRONT_PITCH, _BACK_PITCH = 2, 4  # the joints of the line once round at which the pitches stand
_LEAST_FULL, _MOST_FULL = 0.3, 2.0
_STEPS = 60
_CLOSE_MM = 1e-10
_ROOM_MM = 15.0  # a crown must stand so much over the hindarm to be a crown


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadMeasures:
    """What a head is drawn from, mm: half girth, and depths below the crown.

    `front_round_mm` is added to the front's round; `hollow_mm` lowers the under sleeve's head.
    """

    half_girth_mm: float
    base_mm: float
    front_pitch_mm: float
    back_pitch_mm: float
    front_round_mm: float = 0.0
    hollow_mm: float = 0.0

    def check_crown(self) -> None:
        """Refuse (PitchesDoNotFit) pitches the crown does not stand over, or that lie too low."""
        least = self.base_mm - min(self.back_pitch_mm, self.front_pitch_mm) + _ROOM_MM
        if least > self.base_mm:
            raise PitchesDoNotFit(
                f"A crown {self.base_mm:.0f} mm high does not stand over pitches up to "
                f"{least - _ROOM_MM:.0f} mm above its base; raise the crown to {least:.0f} mm at "
                "least, or let the sleeve hang less far forward."
            )
        if max(self.back_pitch_mm, self.front_pitch_mm) >= self.base_mm + self.hollow_mm:
            raise PitchesDoNotFit(
                "A pitch would lie below the lowest place of the under sleeve's head; measure the "
                "pitches again, or let the sleeve hang less far back."
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Head:
    """The head line, twice round the tube so that any seam can be cut from it; crown at its middle.

    `back_pitch_mm`, `crown_mm` and `front_pitch_mm` are the distances along the line to that crown
    and to the pitches either side of it.
    """

    line: Path
    half_girth_mm: float
    back_pitch_mm: float
    crown_mm: float
    front_pitch_mm: float

    @classmethod
    def drawn(cls, measures: HeadMeasures, ease_mm: float = 0.0) -> Self:
        """The head through both pitches and the crown, its top `ease_mm` longer than as drafted.

        The ease is put in by filling both quarters of the top in proportion (taken out by
        flattening them); crown and pitches stay. Refuses BadMeasure when the quarters cannot hold
        it, PitchesDoNotFit, SelfCrossing.
        """
        measures.check_crown()
        plain = cls._filled(measures, 1.0)
        if ease_mm == 0.0:
            return plain
        end = _MOST_FULL if ease_mm > 0.0 else _LEAST_FULL
        wanted, fullest = plain.top_length_mm + ease_mm, cls._filled(measures, end)
        if abs(fullest.top_length_mm - plain.top_length_mm) < abs(ease_mm):
            raise BadMeasure(
                f"The head's round alone cannot make it {ease_mm:+.0f} mm longer; alter the crown "
                "height or the width instead."
            )
        before, last, full, head = end, fullest, 1.0, plain
        for _ in range(_STEPS):  # by secants: the length grows steadily with the fullness
            rise = (last.top_length_mm - head.top_length_mm) / (before - full)
            before, last, full = full, head, full + (wanted - head.top_length_mm) / rise
            head = cls._filled(measures, full)
            if abs(head.top_length_mm - wanted) <= _CLOSE_MM:
                break
        return head

    @classmethod
    def _filled(cls, measures: HeadMeasures, full: float) -> Self:
        once = _once_round(measures, full)
        if np.diff(once.polyline()[:, 0]).min() <= 0.0:
            raise SelfCrossing(
                "The head would turn back on itself; use less round at the front of the head, or "
                "a wider sleeve."
            )
        before = once.mapped(np.eye(2), (-2 * measures.half_girth_mm, 0.0))
        joints = once.joints_mm
        return cls(
            line=before.then(once),
            half_girth_mm=measures.half_girth_mm,
            back_pitch_mm=float(joints[_BACK_PITCH]),
            crown_mm=float(joints[-1]),
            front_pitch_mm=float(joints[-1] + joints[_FRONT_PITCH]),
        )

    @property
    def length_mm(self) -> float:
        """Length once round."""
        return self.crown_mm

    @property
    def top_length_mm(self) -> float:
        """Length over the crown from back pitch to front pitch."""
        return self.front_pitch_mm - self.back_pitch_mm

    def top(self, hindarm_out_mm: float, forearm_in_mm: float) -> Path:
        """The top sleeve's head, hindarm to forearm, in unrolled x."""
        return self._between(hindarm_out_mm, self.half_girth_mm + forearm_in_mm)

    def under(self, hindarm_out_mm: float, forearm_in_mm: float) -> Path:
        """The under sleeve's head, forearm to hindarm, in unrolled x."""
        width = self.half_girth_mm
        return self._between(width + forearm_in_mm, 2 * width + hindarm_out_mm)

    def notch(self, distance_mm: float) -> tuple[FloatArray, FloatArray]:
        """Point (2,) of a place on the line, and the unit direction (2,) into the cloth there."""
        place = self.line.place_at(distance_mm)
        way = self.line.tangent(place)
        return self.line.point(place), np.array([-way[1], way[0]])

    def check_notch(self, shift_mm: float) -> None:
        """Refuse (NotchPastEnd) a shift that would take the crown notch down to a pitch."""
        room = min(self.crown_mm - self.back_pitch_mm, self.front_pitch_mm - self.crown_mm)
        if abs(shift_mm) >= room:
            raise NotchPastEnd(
                f"A crown notch moved {abs(shift_mm):.0f} mm would pass the pitch, {room:.0f} mm "
                "away; recut the sleeve instead of turning it so far."
            )

    def _between(self, first_x: float, last_x: float) -> Path:
        return self.line.part(self.line.place_where_x(first_x), self.line.place_where_x(last_x))


def _once_round(measures: HeadMeasures, full: float) -> Path:
    """Once round the tube from the crown: front, under the arm, back, and the crown again."""
    width = measures.half_girth_mm
    # The apex over half of the width (Vincent, Part 13, p. 14).
    crown = np.array([width / 2, 0.0])
    front = np.array([width, measures.front_pitch_mm])
    lowest = np.array([(1 + _LOWEST_AT) * width, measures.base_mm + measures.hollow_mm])
    back = np.array([2 * width, measures.back_pitch_mm])
    crown_again = np.array([2.5 * width, 0.0])
    front_round = full * _FRONT_ROUND * _apart(crown, front) + measures.front_round_mm
    back_round = full * _BACK_ROUND * _apart(back, crown_again)
    front_out = _squared_out(crown, front, _FRONT_AT, front_round)
    back_out = _squared_out(back, crown_again, _BACK_AT, back_round)
    level = (1.0, 0.0)
    down = spline("head", [crown, front_out, front, lowest], start=level, end=level)
    return down.then(spline("head", [lowest, back, back_out, crown_again], start=level, end=level))


def _apart(first: FloatArray, last: FloatArray) -> float:
    return float(np.hypot(*(last - first)))


def _squared_out(first: FloatArray, last: FloatArray, share: float, out_mm: float) -> FloatArray:
    """The point a share along a chord, squared out from it upward by so much."""
    chord = last - first
    square = np.array([chord[1], -chord[0]]) / np.hypot(*chord)
    return np.asarray(first + share * chord + out_mm * square)
