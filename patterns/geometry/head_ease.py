"""The ease of a drafted head: how it lies round the armhole, and the crown solved for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import copysign
from typing import Self

from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.making import ChoiceRefused
from patterns.geometry.piece import Piece
from patterns.geometry.pitch import hindarm_over_forearm
from patterns.geometry.refusals import BadMeasure, GeometryRefused
from patterns.geometry.roots import rising_root
from patterns.geometry.sleeve import Sleeve

# Trade practice, no source.
_ROUND_MM = 15.0  # how far the front's round may be filled or flattened to place the ease
_OVER_PITCH_MM = 15.0  # the crown stands so much over the pitches at least
_UPPER_MM = 40.0  # from biceps line to elbow at least
_CROWN_STEP_MM, _ROUND_STEP_MM = 20.0, 3.0
_CLOSE_MM, _JUST_OVER_MM = 1e-7, 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadEase:
    """How much longer (mm) each part of the head is than its part of the armhole.

    front: crown notch to front pitch; back: back pitch to crown notch; under: pitch to pitch under
    the arm. Below zero: the head is the shorter. The armhole's crown is its highest point.
    """

    front_mm: float
    back_mm: float
    under_mm: float

    @classmethod
    def of(cls, flat: TwoPiece, armhole: Armhole) -> Self:
        whole, places = flat.head_length_mm, _places(flat)
        front_mm = (places["front pitch"] - places["crown"]) % whole
        back_mm = (places["crown"] - places["back pitch"]) % whole
        front_arc = armhole.crown_s_mm - armhole.front_pitch_s_mm
        back_arc = armhole.back_pitch_s_mm - armhole.crown_s_mm
        over_mm = front_mm + back_mm - front_arc - back_arc
        return cls(
            front_mm=front_mm - front_arc,
            back_mm=back_mm - back_arc,
            under_mm=whole - armhole.girth_mm - over_mm,
        )

    @property
    def over_mm(self) -> float:
        """Over the crown, from pitch to pitch."""
        return self.front_mm + self.back_mm

    @property
    def whole_mm(self) -> float:
        return self.over_mm + self.under_mm


def _places(flat: TwoPiece) -> dict[str, float]:
    """Distance of each head notch from the hindarm, over the crown, and back under the arm."""
    found = _along(flat.top)
    whole = flat.head_length_mm
    return found | {name: whole - along for name, along in _along(flat.under).items()}


def _along(piece: Piece) -> dict[str, float]:
    head = piece.head
    return {
        notch.name: head.distance_mm(head.place_where_x(float(notch.point_mm[0])))
        for notch in piece.notches
        if notch.edge == "head"
    }


def with_head(
    sleeve: Sleeve,
    armhole: Armhole,
    *,
    ease_mm: float | None,
    over_crown_only: bool = False,
    front_share: float | None = None,
) -> Sleeve:
    """The sleeve with the crown height that gives its head this ease, None to leave the crown.

    The ease is that of the whole head, or of its part over the crown from pitch to pitch.
    `front_share` of the ease over the crown is brought in front of the crown notch by filling or
    flattening the front's round; None leaves it. Refuses ChoiceRefused, and as `draft` does.
    """

    def crowned(round_mm: float) -> Sleeve:
        rounded = replace(sleeve, front_of_head_mm=round_mm)
        if ease_mm is None:
            return rounded
        return _crowned(rounded, armhole, ease_mm, over_crown_only=over_crown_only)

    if front_share is None:
        return crowned(sleeve.front_of_head_mm)

    def too_far_forward(round_mm: float) -> float:
        ease = HeadEase.of(draft(crowned(round_mm), armhole), armhole)
        return ease.front_mm - front_share * ease.over_mm

    try:
        way = copysign(_ROUND_STEP_MM, -too_far_forward(0.0))
        found = _walked(too_far_forward, 0.0, way, limit=copysign(_ROUND_MM, way))
        return crowned(rising_root(too_far_forward, *sorted(found), close=_CLOSE_MM))
    except GeometryRefused as refused:
        raise ChoiceRefused(
            "front_ease_share",
            f"The head cannot hold {front_share:.0%} of the ease over its crown in front of the "
            f"crown notch. {refused}",
        ) from None


def _crowned(sleeve: Sleeve, armhole: Armhole, ease_mm: float, *, over_crown_only: bool) -> Sleeve:
    def over_mm(crown_mm: float) -> float:
        flat = draft(replace(sleeve, crown_height_mm=crown_mm), armhole)
        if over_crown_only:
            return HeadEase.of(flat, armhole).over_mm - ease_mm
        return flat.head_ease_mm - ease_mm

    low, high = _least_crown_mm(sleeve, armhole), sleeve.elbow_down_mm - _UPPER_MM
    if low >= high:
        raise ChoiceRefused(
            "elbow",
            f"An elbow {sleeve.elbow_down_mm:.0f} mm below the crown leaves no room for a crown "
            f"over the pitches ({low:.0f} mm); set the elbow lower, or lengthen the sleeve.",
        )
    too_long = over_mm(low)
    if too_long > 0.0:
        raise ChoiceRefused(
            "crown_ease",
            f"The lowest crown over these pitches, {low:.0f} mm, gives the head "
            f"{ease_mm + too_long:.0f} mm of ease already; {ease_mm:.0f} mm wants a narrower "
            "sleeve or lower pitches.",
        )
    try:
        low, high = _walked(over_mm, low, _CROWN_STEP_MM, limit=high)
    except GeometryRefused as refused:
        raise ChoiceRefused(
            "crown_ease",
            f"No crown gives this head {ease_mm:.0f} mm of ease; ask for less, or widen the "
            f"sleeve. {refused}",
        ) from None
    return replace(sleeve, crown_height_mm=rising_root(over_mm, low, high, close=_CLOSE_MM))


def _least_crown_mm(sleeve: Sleeve, armhole: Armhole) -> float:
    front_up = armhole.curve.point_at(armhole.front_pitch_s_mm)[1] - armhole.curve.bounds_mm[1]
    over = hindarm_over_forearm(
        sleeve.drafted_hang_deg, armhole.pitch_height_mm, armhole.pitch_width_mm
    )
    return float(front_up) + max(over, 0.0) + _OVER_PITCH_MM + _JUST_OVER_MM


def _walked(
    over: Callable[[float], float], start: float, step: float, *, limit: float
) -> tuple[float, float]:
    """Two places a step apart between which a function passes 0, walking from start to limit.

    Refuses BadMeasure where the limit is reached first.
    """
    before, under = start, over(start) <= 0.0
    while abs(before - limit) > _CLOSE_MM:
        at = min(before + step, limit) if step > 0.0 else max(before + step, limit)
        if (over(at) <= 0.0) != under:
            return before, at
        before = at
    raise BadMeasure(f"Even {abs(limit):.0f} mm {'more' if limit > 0 else 'less'} does not do it.")
