"""Two photographs of one customer: laid over each other on common touches, their angles beside."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from django.db.models import Case, IntegerField, QuerySet, Value, When

from fittings.models import Photograph
from fittings.photographs.measuring import Measured, give_or_take, measure, measured_on
from fittings.photographs.touching import Touched, in_pixels
from fittings.refusals import Refused
from patterns.geometry.alignment import Similarity, best_similarity
from patterns.geometry.noise import Estimate
from patterns.geometry.refusals import BadPoints
from patterns.geometry.touches import Point

# The known length hangs elsewhere each time, and so does the plumb line.
NOT_OF_THE_BODY: Final = ("plumb_", "rule_")
ANGLES: Final = (
    ("Arm", "arm"),
    ("Elbow bent", "arm_bend"),
    ("Sleeve", "sleeve"),
    ("Arm against sleeve", "apart"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """A photograph with what was touched and measured on it, by side."""

    photograph: Photograph
    touched: dict[str, Touched]
    measured: dict[str, Measured]

    def places(self) -> dict[tuple[str, str], Point]:
        """Every touch of the body or the sleeve, in pixels, by side and name."""
        return {
            (side, name): in_pixels(self.photograph, place)
            for side, touched in self.touched.items()
            for name, place in touched.places.items()
            if not name.startswith(NOT_OF_THE_BODY)
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One angle on both photographs; `change` from the first to the second."""

    name: str
    one: str
    other: str
    change: str


def others(photograph: Photograph) -> QuerySet[Photograph]:
    """What it can be compared with: first those seen from the same place, newest first."""
    rows = Photograph.objects.consented().standing().exclude(pk=photograph.pk)
    rows = rows.filter(fitting__order__customer=photograph.customer)
    alike = Case(
        When(view=photograph.view, side=photograph.side, then=Value(0)),
        When(view=photograph.view, then=Value(1)),
        default=Value(2),
        output_field=IntegerField(),
    )
    return rows.select_related("fitting__order").order_by(alike, "-taken_at", "pk")


def look(photograph: Photograph) -> Looked:
    """One query."""
    touched: dict[str, Touched] = {}
    for entry in measured_on(photograph):
        touched[entry.side] = Touched.read(entry.data["detail"]["touched"])
    measured: dict[str, Measured] = {}
    for side, one in touched.items():
        try:
            measured[side] = measure(photograph, one)
        except Refused:  # its view was changed since
            continue
    return Looked(photograph=photograph, touched=touched, measured=measured)


def laid_over(one: Looked, other: Looked) -> Similarity:
    """What lays the other photograph over this one, in pixels of both.

    Refuses (Refused) where fewer than two places are touched on both.
    """
    mine, theirs = one.places(), other.places()
    common = sorted(mine.keys() & theirs.keys())
    if len(common) < 2:
        raise Refused(
            "They are laid over each other on places touched on both: touch the same arm on both, "
            "then look again."
        )
    try:
        return best_similarity([theirs[key] for key in common], [mine[key] for key in common])
    except BadPoints as refused:
        raise Refused(str(refused)) from None


def rows(one: Looked, other: Looked) -> list[tuple[str, list[Row]]]:
    """The angles by side, for every side that was measured on either."""
    found = []
    for side in ("left", "right"):
        mine, theirs = one.measured.get(side), other.measured.get(side)
        if mine or theirs:
            found.append((side, [_row(name, field, mine, theirs) for name, field in ANGLES]))
    return found


def _row(name: str, field: str, mine: Measured | None, theirs: Measured | None) -> Row:
    one: Estimate | None = getattr(mine, field, None)
    other: Estimate | None = getattr(theirs, field, None)
    same_view = mine is not None and theirs is not None and mine.is_side == theirs.is_side
    change = "not known"
    if one and other and same_view:
        by = Estimate(other.value - one.value, math.hypot(one.sigma, other.sigma))
        change = _said(by, theirs)
        if abs(by.value) <= by.sigma:
            change = f"{change}; within the noise"
    return Row(name=name, one=_said(one, mine), other=_said(other, theirs), change=change)


def _said(angle: Estimate | None, measured: Measured | None) -> str:
    if angle is None or measured is None:
        return "not touched"
    ways = ("forward", "back") if measured.is_side else ("out", "in")
    return f"{give_or_take(angle)} {ways[angle.value < 0]}"
