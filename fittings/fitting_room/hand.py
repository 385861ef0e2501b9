"""Reading a sleeve by hand: the figure, what was dragged on it, and what would be proposed.

A figure is drawn once, for the wearer's right with the front to the right of the paper, and
mirrored for the wearer's left. Everything that turns is turned inside the mirrored drawing, so the
same sign is the same act on both sides: positive is the cuff forward, or the elbow outward.
"""

from __future__ import annotations

import math
import uuid
from dataclasses import dataclass
from typing import Any, Final

from django.utils import timezone

from fittings.fitting_room.entries import check_reading
from fittings.fitting_room.proposals import one_side
from fittings.models import Entry, EntryKind, Fitting, Side
from patterns.rules.correction import Proposal

# How far below the armhole the cuff is read, where nobody says otherwise.
DROP_MM: Final = 600.0
MOST_HANG_DEG: Final = 30
MOST_TURN_DEG: Final = 45
MOST_BEND_DEG: Final = 60
# The bend of a loose arm, as it is drawn; upper arm to forearm is 1 : 0.8 (ANSUR II, men, means of
# acromion-radiale and radiale-stylion).
BEND_DEG: Final = 14.0
UPPER: Final = 108.0
FOREARM: Final = 104.0
WIDTH: Final = 360
HALF_SLEEVE: Final = 20.0
# A stick that points out of the elbow, as long as it is drawn: from behind its end stands aside.
STICK: Final = 80.0

# The identity of a reading that is not kept.
DRAFT: Final = uuid.UUID(int=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """How arm and sleeve stand in a figure, degrees; positive forward, or outward seen from above.

    None: not drawn.
    """

    side: str
    arm_deg: float = 0.0
    sleeve_deg: float | None = None
    bend_deg: float = BEND_DEG
    is_elbow: bool = False

    @property
    def mirror(self) -> str:
        """The transform of the drawing: as drawn for the wearer's right, mirrored for the left."""
        return "" if self.side == Side.RIGHT else f"translate({WIDTH} 0) scale(-1 1)"

    @property
    def mirror_front(self) -> str:
        """Seen from in front the wearer's right is on the left."""
        return f"translate({WIDTH} 0) scale(-1 1)" if self.side == Side.RIGHT else ""

    @property
    def flip(self) -> int:
        """-1 where the drawing is mirrored: words in it are mirrored back."""
        return 1 if self.side == Side.RIGHT else -1

    @property
    def arm_back_deg(self) -> float:
        """What a drawing turns by: clockwise is back where the front is to the right."""
        return -self.arm_deg

    @property
    def sleeve_back_deg(self) -> float:
        return -(self.sleeve_deg or 0.0)

    @property
    def arm_elbow_px(self) -> float:
        """How far outward the arm's elbow shows from behind; 20 is half the sleeve's width."""
        return round(HALF_SLEEVE * math.sin(math.radians(self.arm_deg)), 1)

    @property
    def sleeve_elbow_px(self) -> float:
        return round(HALF_SLEEVE * math.sin(math.radians(self.sleeve_deg or 0.0)), 1)

    @property
    def arm_stick_px(self) -> float:
        """How far outward the end of a stick shows from behind that points out of the elbow."""
        return round(STICK * math.sin(math.radians(self.arm_deg)), 1)

    @property
    def sleeve_stick_px(self) -> float:
        return round(STICK * math.sin(math.radians(self.sleeve_deg or 0.0)), 1)

    @property
    def bent_px(self) -> tuple[float, float]:
        """Where the elbow stands from where a straight arm has it: forward, down."""
        behind = math.radians(self.upper_deg)
        return round(-UPPER * math.sin(behind), 1), round(UPPER * (math.cos(behind) - 1), 1)

    @property
    def upper_deg(self) -> float:
        """How far the upper arm stands behind the line from shoulder to wrist."""
        bend = math.radians(self.bend_deg)
        behind = math.atan2(FOREARM * math.sin(bend), UPPER + FOREARM * math.cos(bend))
        return round(math.degrees(behind), 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class WouldBe:
    """What would be proposed if a reading were kept: only what comes of that reading.

    `supposing` says what has to be found first, where that is still open.
    """

    supposing: str = ""
    corrections: tuple[Any, ...] = ()
    told: tuple[str, ...] = ()
    provisional: str = ""

    @property
    def is_empty(self) -> bool:
        return not self.corrections and not self.told


def would_be(fitting: Fitting, side: str, data: dict[str, Any]) -> WouldBe:
    """What the rules answer with this reading among those that stand. Nothing is written.

    Refuses (Refused) a reading that the rules could not answer.
    """
    check_reading(fitting, side, data)
    draft = Entry(
        id=DRAFT,
        fitting=fitting,
        side=side,
        kind=EntryKind.READING,
        data=data,
        made_at=timezone.now(),
    )
    proposal = one_side(fitting, side, draft).proposal
    if proposal is None:
        return WouldBe(told=("This order has no pattern yet: nothing can be proposed.",))
    return _of_the_draft(proposal)


def _of_the_draft(proposal: Proposal) -> WouldBe:
    mine = str(DRAFT)
    told = [q.text for q in proposal.questions if mine in q.sources]
    told += [left.text for left in proposal.left_alone if mine in left.sources]
    corrections = tuple(c for c in proposal.corrections if mine in c.grounds.sources)
    return WouldBe(
        corrections=corrections,
        told=tuple(told),
        provisional=proposal.warnings[0] if corrections and proposal.warnings else "",
    )


def at_the_cuff_mm(angle_deg: float, drop_mm: float = DROP_MM) -> float:
    """How far the arm stands from the middle of the cuff at this drop, mm, signed as the angle.

    d = L tan(theta): Sleeve geometry, section 2, the other way round.
    """
    return drop_mm * math.tan(math.radians(angle_deg))


def pose_of(entry: Entry) -> Pose | None:
    """The figure of an entry as it was dragged; None for one that was not."""
    detail = entry.data.get("detail", {})
    if detail.get("taken") != "figure" or "arm_deg" not in detail:
        return None
    return Pose(
        side=entry.side,
        arm_deg=detail["arm_deg"],
        sleeve_deg=detail["sleeve_deg"],
        is_elbow=entry.data["what"] == "elbow_direction",
    )
