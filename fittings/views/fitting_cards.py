"""A correction as it stands on the fitting page: what is proposed, and the forms to decide with."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

from django.utils.text import slugify

from fittings.fitting_room.proposed import AnyProposed, ProposedOnGarment
from fittings.forms.fitting import DECISION_FORMS, DecisionForm
from fittings.models import Decision, InlayPlace, Side, Verdict

NOTHING_REACHED: Final = "Nothing of this can be reached in this cloth: refuse it, or amend it."
NOT_WORTH_UNPICKING: Final = (
    "What the inlay lets out is not worth unpicking: refuse it, or amend it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One proposal, what was decided of it, and the three forms to decide with.

    `work` is the correction as it stands: as decided, or as proposed.
    """

    proposed: AnyProposed
    work: dict[str, Any]
    anchor: str
    accept: DecisionForm
    amend: DecisionForm
    refuse: DecisionForm
    open: str

    @property
    def shown(self) -> str:
        """This card as it stands on the screen: side, key, amount in mm."""
        document = self.proposed.document
        return f"{document['side']}|{document['key']}|{document['shift_mm']}"

    @property
    def side(self) -> str:
        """ "" for the garment as a whole."""
        return str(self.proposed.document["side"])

    @property
    def side_words(self) -> str:
        return str(Side(self.side).label) if self.side else ""

    @property
    def cannot(self) -> str:
        """Why it may not be accepted; "" where it may."""
        if isinstance(self.proposed, ProposedOnGarment):
            return "" if self.proposed.can_accept else NOT_WORTH_UNPICKING
        return "" if self.share > 0 else NOTHING_REACHED

    @property
    def decision(self) -> Decision | None:
        return self.proposed.decision

    @property
    def others(self) -> list[tuple[DecisionForm, str]]:
        return [(self.amend, "Amend"), (self.refuse, "Refuse")]

    @property
    def share(self) -> float:
        return self.proposed.correction.share

    @property
    def is_partial(self) -> bool:
        return 0 < self.share < 1

    @property
    def figure(self) -> dict[str, Any] | None:
        """The sleeve as it hangs and the arm, seen from this side; only of a pitch."""
        document = self.proposed.document
        if document["operation"] not in {"pitch", "recut"}:
            return None
        return side_view(document["angle_deg"], document["side"])

    @property
    def inlays(self) -> list[dict[str, Any]]:
        return [
            {
                **need,
                "words": InlayPlace(need["place"]).label,
                "remains_mm": max(0.0, (need["left_mm"] or 0.0) - need["needed_mm"]),
            }
            for need in self.work["inlay"]
        ]


def card_of(side: str, proposed: AnyProposed, unit: str, bound: DecisionForm | None) -> Card:
    document = proposed.document
    forms: dict[str, DecisionForm] = {
        verdict: kind(side=side, proposal=document, unit=unit)
        for verdict, kind in DECISION_FORMS.items()
    }
    opened = ""
    if bound is not None and bound.proposal and bound.proposal["key"] == document["key"]:
        opened = bound.VERDICT
        forms[opened] = bound
    outcome = proposed.decision.outcome if proposed.decision and proposed.is_decided else None
    return Card(
        proposed=proposed,
        work=outcome or document,
        anchor=f"{side}-{slugify(document['key'].replace(':', '-'))}",
        accept=forms[Verdict.ACCEPTED],
        amend=forms[Verdict.AMENDED],
        refuse=forms[Verdict.REFUSED],
        open=opened,
    )


def side_view(angle_deg: float, side: str) -> dict[str, Any]:
    """Where the arm's line ends when the sleeve hangs straight down the middle, in px.

    `angle_deg` > 0: the arm is forward of the sleeve. The front is left of whoever looks at the
    wearer's left side, right of whoever looks at the right.
    """
    front = -1 if side == Side.LEFT else 1
    angle = math.radians(angle_deg)
    ahead = 1 if angle_deg * front > 0 else -1
    way = f"{abs(angle_deg):.1f}° {'forward of' if angle_deg > 0 else 'behind'}"
    return {
        "x": round(60 + front * 120 * math.sin(angle), 1),
        "y": round(12 + 120 * math.cos(angle), 1),
        "front_x": 60 + front * 56,
        "anchor": "start" if front < 0 else "end",
        "arm_x": 60 + ahead * 8,
        "arm_anchor": "start" if ahead > 0 else "end",
        "sleeve_x": 60 - ahead * 4,
        "sleeve_anchor": "end" if ahead > 0 else "start",
        "words": f"Seen from the wearer's {side}: the arm is {way} the sleeve",
    }
