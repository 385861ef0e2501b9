"""What differs between two versions of one side of a pattern, in words and numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from patterns.geometry.sleeve import LEVELS
from patterns.rules.pattern import SidePattern
from patterns.rules.words import deg, mm

LEAST_MM: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One number that is not the same: before and after in mm, degrees or shares."""

    what: str
    before: float
    after: float
    unit: str
    way: str

    @property
    def words(self) -> str:
        """For example: 'cuff set forward along the armhole: 8 mm more (0 to 8)'."""
        amount = {"mm": mm, "deg": deg}.get(self.unit, _share)(self.after - self.before)
        return f"{self.what}: {amount} {self.way}"


def _share(change: float) -> str:
    return f"{abs(change):.0%}"


# name of the number: how it is called, unit, the way when it grows, the way when it shrinks
NUMBERS: Final = (
    ("notch_shift_mm", "notches along the armhole", "mm", "cuff forward", "cuff back"),
    ("drafted_hang_deg", "head recut to hang", "deg", "further forward", "further back"),
    ("crown_height_mm", "crown", "mm", "higher", "lower"),
    ("front_of_head_mm", "round at the front of the head", "mm", "more", "less"),
    ("head_ease_mm", "ease of the head", "mm", "more", "less"),
    ("under_head_hollow_mm", "hollow of the under sleeve's head", "mm", "deeper", "shallower"),
    ("length_mm", "sleeve length, crown to cuff", "mm", "longer", "shorter"),
    ("elbow_down_mm", "elbow below the crown", "mm", "lower", "higher"),
    ("hindarm_length_mm", "hindarm over the elbow", "mm", "longer", "shorter"),
    ("forearm_hollow_mm", "hollow of the forearm", "mm", "deeper", "shallower"),
    ("forearm_stretch_mm", "forearm stretched", "mm", "more", "less"),
    ("section_ratio", "depth of the section over its width", "share", "more", "less"),
)
LEVELLED: Final = (
    ("hindarm_shift_mm", "hindarm seam", "up and out", "down and in"),
    ("forearm_shift_mm", "forearm seam", "down and in", "up and out"),
)


def differences(before: SidePattern, after: SidePattern) -> tuple[Difference, ...]:
    """Every number of sleeve and armhole that changed by more than 0.05 of its unit."""
    return tuple(d for d in _all(before, after) if abs(d.after - d.before) > _least(d.unit))


def _least(unit: str) -> float:
    return 0.005 if unit == "share" else LEAST_MM


def _all(before: SidePattern, after: SidePattern) -> Iterator[Difference]:
    old, new = before.sleeve, after.sleeve
    for name, what, unit, more, less in NUMBERS:
        yield _difference(what, getattr(old, name), getattr(new, name), unit, more, less)
    yield _difference("bend", old.turning_deg, new.turning_deg, "deg", "more", "less")
    for name, what, more, less in LEVELLED:
        for level in LEVELS:
            was, now = getattr(getattr(old, name), level), getattr(getattr(new, name), level)
            yield _difference(f"{what} at the {level}", was, now, "mm", more, less)
    for level in ("biceps", "elbow", "cuff"):
        was, now = getattr(old.girth_mm, level), getattr(new.girth_mm, level)
        yield _difference(f"sleeve girth at the {level}", was, now, "mm", "wider", "narrower")
    for seam in ("hindarm", "forearm"):
        was, now = getattr(old.ironed_share, seam), getattr(new.ironed_share, seam)
        yield _difference(f"{seam} turning held by the iron", was, now, "share", "more", "less")
    if before.armhole_document != after.armhole_document:
        a, b = before.armhole, after.armhole
        yield _difference("armhole girth", a.girth_mm, b.girth_mm, "mm", "larger", "smaller")
        yield _difference("armhole height", a.height_mm, b.height_mm, "mm", "taller", "lower")
        yield _difference("armhole width", a.width_mm, b.width_mm, "mm", "wider", "narrower")


def _difference(
    what: str, before: float, after: float, unit: str, more: str, less: str
) -> Difference:
    return Difference(
        what=what,
        before=before,
        after=after,
        unit=unit,
        way=more if after > before else less,
    )
