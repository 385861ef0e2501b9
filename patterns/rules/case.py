"""What the rules are given: one sleeve on one side, and what was read of it at a fitting.

Millimetres and degrees throughout. Signs are those of the sleeve geometry, section 1: the same
sign means the same act on the wearer's left and right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeVar

from patterns.geometry.armhole import Armhole, SeamPlaces
from patterns.geometry.sleeve import Sleeve
from patterns.rules.catalogue import FINDINGS, Finding

R = TypeVar("R", bound="Reading")
EDGE_MM = 0.01


class Side(StrEnum):
    LEFT = "left"
    RIGHT = "right"

    @property
    def words(self) -> str:
        return f"wearer's {self.value}"

    @property
    def other(self) -> Side:
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


class Stage(StrEnum):
    MEASURED = "measured"
    CUT = "cut"
    BASTE = "baste"
    FORWARD = "forward"
    FINISH = "finish"
    DELIVERED = "delivered"


class Where(StrEnum):
    FRONT = "front"
    BACK = "back"


class CreaseKind(StrEnum):
    SLACK = "slack"
    STRAIN = "strain"
    UNKNOWN = "unknown"


class ClearsWhen(StrEnum):
    """Which way the arm goes when the folds clear."""

    BACK = "back"
    FORWARD = "forward"
    NEITHER = "neither"


class InlayPlace(StrEnum):
    TOP_SLEEVE_HEAD = "top_sleeve_head"
    UNDER_SLEEVE_HEAD = "under_sleeve_head"
    TOP_SLEEVE_HINDARM = "top_sleeve_hindarm"
    UNDER_SLEEVE_HINDARM = "under_sleeve_hindarm"
    TOP_SLEEVE_FOREARM = "top_sleeve_forearm"
    UNDER_SLEEVE_FOREARM = "under_sleeve_forearm"
    CUFF = "cuff"

    @property
    def words(self) -> str:
        return self.value.replace("_sleeve_", " sleeve, ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing read at the fitting; `id` is how the record names it."""

    id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchAngle(Reading):
    """Arm minus sleeve, seen from the side, degrees; positive: the arm is forward of the sleeve."""

    angle_deg: float
    sigma_deg: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CuffOffset(Reading):
    """The arm stands `offset_mm` forward of the cuff (positive) at `drop_mm` below the armhole."""

    offset_mm: float
    drop_mm: float
    sigma_mm: float = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slack(Reading):
    """Slack that can be pinned out at the front or the back of the sleeve, depth >= 0."""

    where: Where
    depth_mm: float
    sigma_mm: float = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingTest(Reading):
    clears_when_arm_goes: ClearsWhen


@dataclass(frozen=True, slots=True, kw_only=True)
class Crease(Reading):
    where: Where
    kind: CreaseKind


@dataclass(frozen=True, slots=True, kw_only=True)
class ElbowDirection(Reading):
    """Positive: the arm's elbow points further out than the sleeve's, degrees."""

    turn_deg: float
    sigma_deg: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HindarmShows(Reading):
    """The hindarm seam shows `by_mm` inside the silhouette from the side (negative: hidden)."""

    by_mm: float
    want_mm: float
    sigma_mm: float = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Length(Reading):
    """Positive: the sleeve is to be longer by so much."""

    amount_mm: float
    sigma_mm: float = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingSeen(Reading):
    """A row of the catalogue, with the amount read (always >= 0) or None: the usual amount.

    `kept` is the row as it stood when it was logged; None: as the book has it.
    """

    finding: str
    amount_mm: float | None = None
    kept: Finding | None = None

    @property
    def row(self) -> Finding:
        return self.kept or FINDINGS[self.finding]


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """Whether what comes before the sleeve is settled; None: nobody said."""

    balance_settled: bool | None = None
    shoulders_settled: bool | None = None

    @property
    def still_open(self) -> tuple[str, ...]:
        """What is not known to be settled, in words."""
        named = (("balance", self.balance_settled), ("shoulders", self.shoulders_settled))
        return tuple(name for name, settled in named if not settled)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerances:
    """Below these nothing is changed: 2 mm where geometry gives the amount, 3 mm shop habit
    where the trade's usual amounts do (trade practice, no source)."""

    geometric_mm: float = 2.0
    habit_mm: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    side: Side
    stage: Stage
    armhole: Armhole
    sleeve: Sleeve
    readings: tuple[Reading, ...] = ()
    inlays_mm: Mapping[InlayPlace, float] = field(default_factory=dict)
    body: Body = field(default_factory=Body)
    tolerances: Tolerances = field(default_factory=Tolerances)
    # By rule: the share of a change that comes in this shop; a rule not named takes the law's 1.
    shop_shares: Mapping[str, float] = field(default_factory=dict)

    def seat(
        self, turn_mm: float = 0.0, hindarm_mm: float = 0.0, forearm_mm: float = 0.0
    ) -> SeamPlaces:
        """Where the seams stand on the armhole as the sleeve is cut, after so much more.

        The pitches are where the seams of a 50-50 sleeve stand; what was turned and moved since
        is added. Signs as of Armhole.seat.
        """
        sleeve = self.sleeve
        return self.armhole.seat(
            sleeve.notch_shift_mm + turn_mm,
            sleeve.hindarm_shift_mm.head + hindarm_mm,
            sleeve.forearm_shift_mm.head + forearm_mm,
        )

    def turning_room_mm(self) -> tuple[float, float]:
        """How far (mm, back < 0 < forward) a turn goes before a seam leaves its quarter.

        Just inside, so that what is turned by it still stands in the quarter.
        """
        back, forward = self.armhole.room_mm(self.seat())
        return min(0.0, back + EDGE_MM), max(0.0, forward - EDGE_MM)

    def read(self, kind: type[R]) -> tuple[R, ...]:
        """The readings of one kind, in the order they were taken."""
        return tuple(reading for reading in self.readings if isinstance(reading, kind))

    def seen(self, *findings: str) -> tuple[FindingSeen, ...]:
        """The logged rows of the catalogue that have one of these ids."""
        return tuple(r for r in self.read(FindingSeen) if r.finding in findings)
