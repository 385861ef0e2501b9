"""The sleeve as numbers: girths, seams, crown, bend, and how its notches stand to the armhole.

Everything is said for one sleeve from the wearer's point of view; left and right are mirrored, so
the same sign means the same act on both sides.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import atan2, degrees
from typing import Final

LEVELS: Final = ("head", "elbow", "cuff")

# Elbow at 0.556 of the acromion-wrist length, men (ANSUR II public data, NATICK/TR-15/007).
ELBOW_FRACTION: Final = 0.556
# Forward bend of the drafted cuff, 2 in (I. Rosenfeld, The Practical Designer, 1918, lesson 60).
FORWARD_BEND_MM: Final = 50.8
# Forearm hollowed 1 in at the elbow (Vincent, Part 13, p. 54; Rosenfeld, lesson 60).
FOREARM_HOLLOW_MM: Final = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """One length in mm at each of the three levels of a sleeve."""

    head: float = 0.0
    elbow: float = 0.0
    cuff: float = 0.0

    @classmethod
    def alike(cls, mm: float) -> Levels:
        return cls(head=mm, elbow=mm, cuff=mm)

    def __add__(self, other: Levels) -> Levels:
        return Levels(
            head=self.head + other.head,
            elbow=self.elbow + other.elbow,
            cuff=self.cuff + other.cuff,
        )

    def __neg__(self) -> Levels:
        return self.scaled(-1.0)

    def __sub__(self, other: Levels) -> Levels:
        return self + -other

    def scaled(self, factor: float) -> Levels:
        return Levels(head=self.head * factor, elbow=self.elbow * factor, cuff=self.cuff * factor)

    def largest(self) -> float:
        """The level with the largest amount either way, signed, in mm."""
        return max((self.head, self.elbow, self.cuff), key=abs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Girths:
    """Girth of the finished sleeve in mm at biceps (head level), elbow and cuff."""

    biceps: float
    elbow: float
    cuff: float

    def at(self, level: str) -> float:
        return {"head": self.biceps, "elbow": self.elbow, "cuff": self.cuff}[level]


@dataclass(frozen=True, slots=True, kw_only=True)
class IronedShare:
    """Share of a seam's turning left on the old fold, 0 (all sewn) to 1 (all ironed), per seam."""

    hindarm: float = 0.0
    forearm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sleeve:
    """A two-piece sleeve by its measures (mm) and the state it is cut to.

    `hindarm_shift_mm` > 0: hindarm seam out and up, away from the fold of a 50-50 sleeve (a > 0).
    `forearm_shift_mm` > 0: forearm seam in and down (b > 0). `notch_shift_mm` > 0: the sleeve is
    set so that the cuff hangs further forward (s > 0). `length_mm`: crown to cuff. `elbow_mm`:
    crown to elbow, None for the usual share of the length. `bend_deg`: how far the forearm is
    turned forward at the elbow on the flat draft; None means the usual draft.
    """

    girth_mm: Girths
    crown_height_mm: float
    length_mm: float
    section_ratio: float = 1.0
    hindarm_shift_mm: Levels = field(default_factory=Levels)
    forearm_shift_mm: Levels = field(default_factory=Levels)
    ironed_share: IronedShare = field(default_factory=IronedShare)
    elbow_mm: float | None = None
    bend_deg: float | None = None
    notch_shift_mm: float = 0.0
    drafted_hang_deg: float = 0.0
    hindarm_length_mm: float = 0.0
    forearm_hollow_mm: float = FOREARM_HOLLOW_MM
    forearm_stretch_mm: float = 0.0
    front_of_head_mm: float = 0.0
    head_ease_mm: float = 0.0
    under_head_hollow_mm: float = 0.0

    @property
    def elbow_down_mm(self) -> float:
        """Elbow level below the crown, mm."""
        if self.elbow_mm is not None:
            return self.elbow_mm
        return ELBOW_FRACTION * self.length_mm

    @property
    def turning_deg(self) -> float:
        """Turning of the fold line at the elbow, degrees: the stated bend or the usual draft's."""
        if self.bend_deg is not None:
            return self.bend_deg
        return degrees(atan2(FORWARD_BEND_MM, self.length_mm - self.elbow_down_mm))
