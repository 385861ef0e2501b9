"""The armhole: a closed curve with its two pitches, its quarters, and the seams seated in it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import FloatArray
from patterns.geometry.curve import ClosedCurve
from patterns.geometry.outline import Pitches, half_axes, outline_points
from patterns.geometry.refusals import (
    NotchPastEnd,
    PitchesDoNotFit,
    SeamOutOfQuarter,
    checked_girth,
    checked_number,
    checked_positive,
)


class Quarter(StrEnum):
    """Quarters cut by the armhole's mid-height horizontal and its mid-width upright."""

    UPPER_BACK = "upper back"
    UPPER_FRONT = "upper front"
    LOWER_FRONT = "lower front"
    LOWER_BACK = "lower back"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamPlaces:
    """Where the sleeve's seams and crown meet the armhole, by arc length and as points (x, z)."""

    front_s_mm: float
    back_s_mm: float
    crown_s_mm: float
    front_quarter: Quarter
    back_quarter: Quarter
    front_point_mm: tuple[float, float]
    back_point_mm: tuple[float, float]
    crown_point_mm: tuple[float, float]

    def check_quarters(self) -> None:
        """Refuse (SeamOutOfQuarter) a hindarm or forearm seam outside its own quarter."""
        if self.back_quarter is not Quarter.UPPER_BACK:
            raise SeamOutOfQuarter(
                f"The hindarm seam would stand in the {self.back_quarter} quarter of the armhole; "
                "recut the sleeve instead of turning it so far."
            )
        if self.front_quarter is not Quarter.LOWER_FRONT:
            raise SeamOutOfQuarter(
                f"The forearm seam would stand in the {self.front_quarter} quarter of the armhole; "
                "recut the sleeve instead of turning it so far."
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Armhole:
    """A closed curve in the plane in which the arm swings: x forward, z up, for both sides.

    s = 0 is the lowest point and s increases up the front, over the shoulder and down the back.
    So a pitch above zero (cuff forward) adds to the place of every seam: the forearm seam goes
    up the front, the hindarm seam down the back, the crown notch back. Sleeve geometry, section 2.
    """

    curve: ClosedCurve
    front_pitch_s_mm: float
    back_pitch_s_mm: float

    @classmethod
    def from_measures(
        cls,
        *,
        girth_mm: float,
        pitch_width_mm: float,
        pitch_height_mm: float,
        front_pitch_up_mm: float = 25.0,
    ) -> Self:
        """Draw an armhole of exactly this girth whose pitches stand so far apart.

        pitch_width_mm, pitch_height_mm: horizontal and upright distance from front to back pitch;
        front_pitch_up_mm: height of the front pitch above the lowest point. The default 25 mm is
        The American Garment Cutter's 1 in, diagram 75; Vincent has 19 mm (Part 1, p. 33).
        Refuses NoGirth, BadMeasure, PitchesDoNotFit.
        """
        checked_girth(girth_mm, "girth of the armhole")
        checked_positive(pitch_width_mm, "distance between the pitches")
        checked_positive(pitch_height_mm, "height of the back pitch over the front pitch")
        checked_positive(front_pitch_up_mm, "height of the front pitch")
        back_up_mm = front_pitch_up_mm + pitch_height_mm
        pitches = Pitches(
            front_up_mm=front_pitch_up_mm, back_up_mm=back_up_mm, apart_mm=pitch_width_mm
        )
        drawn = ClosedCurve.through(outline_points(*half_axes(girth_mm, pitches)))
        # The spline's own length differs from the outline's by a few parts in a million.
        curve = drawn.scaled(girth_mm / drawn.length_mm)
        return cls._with_pitches(curve, front_pitch_up_mm, back_up_mm)

    @classmethod
    def from_points(
        cls,
        points_mm: ArrayLike,
        *,
        front_pitch_up_mm: float = 25.0,
        back_pitch_up_mm: float | None = None,
    ) -> Self:
        """Draw the armhole through points (n, 2), x forward and z up, in either order round.

        Heights are above the lowest point; the back pitch stands a quarter of the girth up unless
        told (The American Garment Cutter, diagram 75). Refuses as ClosedCurve.through does, and
        PitchesDoNotFit.
        """
        checked_positive(front_pitch_up_mm, "height of the front pitch")
        curve = ClosedCurve.through(points_mm)
        if curve.signed_area_mm2 < 0.0:
            curve = ClosedCurve.through(curve.points_mm[::-1])
        back_up_mm = curve.length_mm / 4.0 if back_pitch_up_mm is None else back_pitch_up_mm
        checked_positive(back_up_mm, "height of the back pitch")
        return cls._with_pitches(curve, front_pitch_up_mm, back_up_mm)

    @classmethod
    def _with_pitches(cls, curve: ClosedCurve, front_up_mm: float, back_up_mm: float) -> Self:
        curve = curve.starting_at(curve.furthest_s((0.0, -1.0)))
        _, lowest, _, highest = curve.bounds_mm
        if max(front_up_mm, back_up_mm) >= highest - lowest:
            raise PitchesDoNotFit(
                f"A pitch {max(front_up_mm, back_up_mm):.0f} mm above the lowest point would stand "
                f"over the top of an armhole {highest - lowest:.0f} mm high; measure it again."
            )
        return cls(
            curve=curve,
            front_pitch_s_mm=curve.at_height(lowest + front_up_mm)[0],
            back_pitch_s_mm=curve.at_height(lowest + back_up_mm)[-1],
        )

    @property
    def girth_mm(self) -> float:
        """Length once round."""
        return self.curve.length_mm

    @property
    def crown_s_mm(self) -> float:
        """Arc length of the highest point."""
        return self.curve.furthest_s((0.0, 1.0))

    @property
    def pitch_width_mm(self) -> float:
        """Horizontal distance from the back pitch forward to the front pitch."""
        return float(self._between_pitches()[0])

    @property
    def pitch_height_mm(self) -> float:
        """Height of the back pitch over the front pitch."""
        return float(-self._between_pitches()[1])

    @property
    def height_mm(self) -> float:
        """Height from the lowest to the highest point."""
        _, lowest, _, highest = self.curve.bounds_mm
        return highest - lowest

    @property
    def width_mm(self) -> float:
        """Width from the rearmost to the foremost point."""
        rearmost, _, foremost, _ = self.curve.bounds_mm
        return foremost - rearmost

    def quarter_at(self, s_mm: float) -> Quarter:
        """The quarter in which a place on the armhole lies."""
        return self._quarter_of(*self.curve.point_at(s_mm))

    def _quarter_of(self, x: float, z: float) -> Quarter:
        middle_x, middle_z = self._middle()
        if z >= middle_z:
            return Quarter.UPPER_FRONT if x > middle_x else Quarter.UPPER_BACK
        return Quarter.LOWER_FRONT if x > middle_x else Quarter.LOWER_BACK

    def seat(
        self, shift_mm: float = 0.0, hindarm_out_mm: float = 0.0, forearm_in_mm: float = 0.0
    ) -> SeamPlaces:
        """Place the seams after a pitch shift (above zero: cuff forward) and moves of the seams.

        Hindarm out and forearm in both move a seam back along s: up the back, down the front. The
        arc lengths are not wrapped, so that differences are the shifts. Refuses BadMeasure, and
        NotchPastEnd for more than half the girth.
        """
        shift = checked_number(shift_mm, "shift")
        front = shift - checked_number(forearm_in_mm, "move of the forearm seam")
        back = shift - checked_number(hindarm_out_mm, "move of the hindarm seam")
        if max(abs(shift), abs(front), abs(back)) > self.girth_mm / 2.0:
            raise NotchPastEnd(
                f"A notch would move more than half way round an armhole of {self.girth_mm:.0f} "
                "mm; check the amount and its unit."
            )
        places = np.array([self.front_pitch_s_mm + front, self.back_pitch_s_mm + back])
        places = np.append(places, self.crown_s_mm + shift)
        points = self.curve.point_at(places)
        front_s, back_s, crown_s = places.tolist()
        front_point, back_point, crown_point = ((float(x), float(z)) for x, z in points)
        return SeamPlaces(
            front_s_mm=front_s,
            back_s_mm=back_s,
            crown_s_mm=crown_s,
            front_quarter=self._quarter_of(*front_point),
            back_quarter=self._quarter_of(*back_point),
            front_point_mm=front_point,
            back_point_mm=back_point,
            crown_point_mm=crown_point,
        )

    def pitch_room_mm(self) -> tuple[float, float]:
        """Most negative and most positive shift that keep both seams in their own quarters.

        (0.0, 0.0) when a seam stands outside its quarter already.
        """
        return self.room_mm(self.seat())

    def room_mm(self, seat: SeamPlaces) -> tuple[float, float]:
        """The same from where the seams stand now."""
        in_quarters = (
            seat.front_quarter is Quarter.LOWER_FRONT and seat.back_quarter is Quarter.UPPER_BACK
        )
        if not in_quarters:
            return 0.0, 0.0
        seams = np.array([[seat.front_s_mm], [seat.back_s_mm]])
        ahead = (self._edges() - seams) % self.girth_mm
        return float((ahead - self.girth_mm).max()), float(ahead.min())

    def to_quarter_mm(self, s_mm: float) -> float:
        """Shortest way along the armhole from a place to where two quarters meet, never below 0."""
        ahead = (self._edges() - s_mm) % self.girth_mm
        return float(np.minimum(ahead, self.girth_mm - ahead).min())

    def _edges(self) -> FloatArray:
        middle_x, middle_z = self._middle()
        return np.array(self.curve.at_width(middle_x) + self.curve.at_height(middle_z))

    def _middle(self) -> tuple[float, float]:
        rearmost, lowest, foremost, highest = self.curve.bounds_mm
        return (rearmost + foremost) / 2.0, (lowest + highest) / 2.0

    def _between_pitches(self) -> FloatArray:
        front, back = self.curve.point_at([self.front_pitch_s_mm, self.back_pitch_s_mm])
        return np.asarray(front - back)
