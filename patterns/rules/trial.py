"""Trying a change on one sleeve before anything is cut: as it is beside as it would be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Self

from patterns.geometry.armhole import Quarter, SeamPlaces
from patterns.geometry.draft import TwoPiece
from patterns.geometry.hanging import Hanging
from patterns.geometry.pitch import angle_from_shift
from patterns.geometry.section import Section
from patterns.geometry.sleeve import LEVELS, Levels
from patterns.geometry.visibility import shows_from_side
from patterns.rules.correction import Meaning, Operation
from patterns.rules.hang import hang_of
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.pieces import two_piece

_SHOWN = 0.05  # what is less is said to be nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is moved, in mm and signed as the corrections are.

    `hindarm_ironed`, `forearm_ironed`: the share of a seam's move that the iron holds, 0 (both
    pieces re-drafted, the elbow turns) to 1 (the seam alone moves). Sleeve geometry, section 3.
    """

    pitch_mm: float = 0.0
    hindarm_mm: Levels = field(default_factory=Levels)
    forearm_mm: Levels = field(default_factory=Levels)
    hindarm_ironed: float = 0.0
    forearm_ironed: float = 0.0
    crown_mm: float = 0.0
    bend_mm: float = 0.0

    def changes(self, armhole_girth_mm: float) -> tuple[Change, ...]:
        """The same as corrections, each with one meaning; none where nothing is moved."""
        turn = angle_from_shift(self.pitch_mm, armhole_girth_mm)
        found = [Change(operation=Operation.PITCH, shift_mm=self.pitch_mm, angle_deg=turn)]
        found += [
            self._seams(Meaning.ELBOW_TURN, 1 - self.hindarm_ironed, 1 - self.forearm_ironed),
            self._seams(Meaning.SEAM_ONLY, self.hindarm_ironed, self.forearm_ironed),
            Change(operation=Operation.CROWN, shift_mm=self.crown_mm),
            Change(operation=Operation.BEND, shift_mm=self.bend_mm),
        ]
        return tuple(change for change in found if _moves(change))

    def _seams(self, meaning: Meaning, hindarm_share: float, forearm_share: float) -> Change:
        hindarm = self.hindarm_mm.scaled(hindarm_share)
        forearm = self.forearm_mm.scaled(forearm_share)
        mean = (hindarm.elbow + forearm.elbow) / 2
        return Change(
            operation=Operation.SEAM_SHIFT,
            shift_mm=mean if meaning is Meaning.ELBOW_TURN else hindarm.elbow or forearm.elbow,
            meaning=meaning,
            hindarm_mm=hindarm,
            forearm_mm=forearm,
        )


def _moves(change: Change) -> bool:
    amounts = (change.shift_mm, change.hindarm_mm.largest(), change.forearm_mm.largest())
    return any(amount != 0.0 for amount in amounts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One value: a length in mm without its sign, where it is a length, and words."""

    words: str
    size_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing that is said of the sleeve as it is and as it would be."""

    what: str
    before: Said
    after: Said

    @property
    def changed(self) -> bool:
        return self.before != self.after


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A sleeve drafted flat and hung."""

    pattern: SidePattern
    flat: TwoPiece
    hung: Hanging

    @classmethod
    def of(cls, pattern: SidePattern) -> Self:
        """Refuses GeometryRefused what cannot be cut."""
        armhole = pattern.armhole
        angles = hang_of(pattern.sleeve, armhole)
        hung = Hanging.of(pattern.sleeve, armhole, angles)
        return cls(pattern=pattern, flat=two_piece(pattern), hung=hung)

    @property
    def seat(self) -> SeamPlaces:
        sleeve = self.pattern.sleeve
        return self.pattern.armhole.seat(
            sleeve.notch_shift_mm, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A sleeve as it is and as it would be."""

    before: Made
    after: Made

    @classmethod
    def of(cls, pattern: SidePattern, *changes: Change) -> Self:
        """Refuses GeometryRefused: a sleeve that cannot be cut, or a seam that would leave its
        quarter of the armhole."""
        before = Made.of(pattern)
        after = Made.of(pattern.with_changes(*changes))
        if _in_quarters(before.seat):
            after.seat.check_quarters()
        return cls(before=before, after=after)

    def rows(self) -> list[Row]:
        pairs = zip(_said(self.before), _said(self.after), strict=True)
        return [Row(what=what, before=was, after=now) for (what, was), (_, now) in pairs]


def _in_quarters(seat: SeamPlaces) -> bool:
    return seat.back_quarter is Quarter.UPPER_BACK and seat.front_quarter is Quarter.LOWER_FRONT


def _said(made: Made) -> Iterator[tuple[str, Said]]:
    angles, flat, sleeve, seat = made.hung.angles, made.flat, made.pattern.sleeve, made.seat
    yield "Pitch", _angle(angles.pitch_deg, "plumb", "forward of plumb", "behind plumb")
    yield "Elbow points", _angle(angles.elbow_turn_deg, "straight back", "outward", "inward")
    yield "Bend at the elbow", _angle(angles.bend_deg, "none", "", "backward")
    yield "Lift, by the crown", _angle(angles.lift_deg, "none", "", "")
    section = Section(girth_mm=sleeve.girth_mm.elbow, ratio=sleeve.section_ratio)
    shows = shows_from_side(section, sleeve.hindarm_shift_mm.elbow)
    yield "Hindarm from the side", _length(shows, "on the edge", "shows", "hidden by")
    yield "Head over the armhole", _length(flat.head_ease_mm, "", "longer by", "shorter by")
    yield "Hindarm seam on the armhole", Said(words=f"{seat.back_quarter.value} quarter")
    yield "Forearm seam on the armhole", Said(words=f"{seat.front_quarter.value} quarter")
    for level in LEVELS:
        for piece in (flat.top, flat.under):
            at = "biceps line" if level == "head" else level
            what = f"{piece.name.capitalize()} at the {at}"
            yield what, _length(piece.width_mm(level), "", "", "")
    iron = (
        ("Shrink at the hindarm", flat.hindarm_ease_mm, "under sleeve", "top sleeve"),
        ("Stretch at the forearm", flat.forearm_ease_mm, "top sleeve", "under sleeve"),
    )
    for what, amount, above, below in iron:
        yield what, _length(amount, "nothing", above, below)


def _angle(angle_deg: float, none: str, above: str, below: str) -> Said:
    if abs(angle_deg) < _SHOWN:
        return Said(words=none)
    size = f"{abs(angle_deg):.1f}".removesuffix(".0")
    return Said(words=f"{size}° {above if angle_deg > 0 else below}".strip())


def _length(amount_mm: float, none: str, above: str, below: str) -> Said:
    if abs(amount_mm) < _SHOWN and none:
        return Said(words=none)
    return Said(size_mm=round(abs(amount_mm), 1), words=above if amount_mm > 0 else below)
