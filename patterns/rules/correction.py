"""What the rules answer: corrections that carry their reason, questions, and what is left alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from patterns.geometry.sleeve import Levels
from patterns.rules.case import InlayPlace, Side


class Operation(StrEnum):
    PITCH = "pitch"
    RECUT = "recut"
    SEAM_SHIFT = "seam_shift"
    CROWN = "crown"
    FRONT_OF_HEAD = "front_of_head"
    EASE = "ease"
    WIDTH = "width"
    BEND = "bend"
    FOREARM = "forearm"
    UNDER_HEAD = "under_head"
    ARMHOLE = "armhole"
    LENGTH = "length"


class Meaning(StrEnum):
    """What a moved seam means; a ticket must say which."""

    ELBOW_TURN = "elbow_turn"
    SEAM_ONLY = "seam_only"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One line of work: what moves, on which piece and edge, which way in words, how far.

    `mm` holds the amounts at head, elbow and cuff, all >= 0: the words say which way.
    `acts` says how an amount acts: on each piece, or on the whole.
    """

    piece: str
    edge: str
    direction: str
    mm: Levels
    acts: str
    measured_from: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IronWork:
    """What the iron does: `amount_mm` of stretching or shrinking along an edge, >= 0."""

    seam: str
    place: str
    how: str
    amount_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InlayNeed:
    """Cloth needed at a place against what is left there; left None: nobody wrote it down."""

    place: InlayPlace
    needed_mm: float
    left_mm: float | None

    @property
    def short_mm(self) -> float:
        return 0.0 if self.left_mm is None else max(0.0, self.needed_mm - self.left_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grounds:
    """Why: the noise (1 sigma, mm), the readings it comes from, and the sentence."""

    rule: str
    sigma_mm: float
    sources: tuple[str, ...]
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """One proposed change of one sleeve.

    `shift_mm` is the operation's own amount, signed: pitch and recut > 0 cuff forward; seam shift
    > 0 hindarm up and out, forearm down and in; crown > 0 higher; width > 0 wider (each piece);
    bend > 0 hindarm longer; length > 0 longer. `angle_deg` goes with it where there is an angle.
    `share` is the part of it that inlays and quarters allow, 0 to 1. `shop_share` is the part of a
    change that comes in this shop: `shift_mm` times it is what the readings need. `particulars`
    holds what only this operation says, ready for the document.
    """

    operation: Operation
    side: Side
    shift_mm: float
    grounds: Grounds
    title: str
    moves: tuple[Move, ...]
    law: str
    angle_deg: float | None = None
    meaning: Meaning | None = None
    hindarm_mm: Levels | None = None
    forearm_mm: Levels | None = None
    iron: tuple[IronWork, ...] = ()
    inlays: tuple[InlayNeed, ...] = ()
    share: float = 1.0
    shop_share: float = 1.0
    limits: tuple[str, ...] = ()
    moves_too: tuple[str, ...] = ()
    predicted: str = ""
    do: tuple[str, ...] = ()
    do_not: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    provisional: bool = False
    particulars: Mapping[str, object] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """Names this proposal within its side, the same however the amount changes."""
        kind = "pitch" if self.operation is Operation.RECUT else self.operation.value
        return f"{kind}:{self.grounds.rule}"

    @property
    def reachable_mm(self) -> float:
        return self.shift_mm * self.share

    @property
    def unreachable_mm(self) -> float:
        return self.shift_mm - self.reachable_mm

    def made_provisional(self) -> Correction:
        return replace(self, provisional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What must be answered before anything is cut; `answers` are the things to try or look at."""

    rule: str
    text: str
    sources: tuple[str, ...]
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftAlone:
    """What was read and is not worth a cut, and why."""

    rule: str
    text: str
    sources: tuple[str, ...]
    shift_mm: float = 0.0
    sigma_mm: float = 0.0


Answer = Correction | Question | LeftAlone


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """All the rules have to say about one sleeve."""

    side: Side
    corrections: tuple[Correction, ...] = ()
    questions: tuple[Question, ...] = ()
    left_alone: tuple[LeftAlone, ...] = ()
    warnings: tuple[str, ...] = ()
