"""All that the paper of a ticket says, as data, fixed when it is issued; lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from fittings.fitting_room.proposals import SideProposals, every_side
from fittings.models import Decision, Fitting, Side
from patterns.models import PatternVersion
from patterns.rules.difference import differences
from patterns.rules.pattern import SidePattern

CONTENT_FORM: Final = 1


def is_on_pattern(line: Mapping[str, Any]) -> bool:
    """Whether a line of work changes the pattern too, or the garment alone."""
    return bool(line.get("on_pattern", True))


def content_of(
    fitting: Fitting,
    before: PatternVersion | None,
    after: PatternVersion | None,
    decisions: list[Decision],
) -> dict[str, Any]:
    """What is written down at issue; the photographs are `attached`."""
    order = fitting.order
    sides = every_side(fitting)
    return {
        "form": CONTENT_FORM,
        "customer": {"number": order.customer.number, "name": str(order.customer)},
        "order": {
            "number": order.number,
            "garment": order.get_garment_display(),
            "cloth": order.cloth,
            "style": order.style,
            "promised_on": order.promised_on.isoformat() if order.promised_on else None,
            "maker": order.made_by,
        },
        "fitting": {
            "stage": fitting.get_stage_display(),
            "held_on": fitting.held_on.isoformat(),
            "fitter": str(fitting.fitter),
            "worn_under": fitting.worn_under,
        },
        "pattern": _pattern(before, after),
        "sides": _sides(before, after or before),
        "lines": [_line(d) for d in decisions],
        "questions": [text for side in sides for text in _questions(side)],
    }


def _pattern(before: PatternVersion | None, after: PatternVersion | None) -> dict[str, Any]:
    """{} where the garment has none; `after` None where only the garment is worked."""
    if before is None:
        return {}
    return {
        "number": before.pattern.number,
        "name": before.pattern.name,
        "before": before.number,
        "after": after.number if after else None,
    }


def _sides(before: PatternVersion | None, after: PatternVersion | None) -> dict[str, Any]:
    if before is None or after is None:
        return {}
    return {
        side.value: {
            "before": before.sides[side],
            "after": after.sides[side],
            "differences": [
                d.words
                for d in differences(
                    SidePattern.read(before.sides[side]), SidePattern.read(after.sides[side])
                )
            ],
        }
        for side in (Side.LEFT, Side.RIGHT)
    }


def _line(decision: Decision) -> dict[str, Any]:
    """One line of work: the correction as decided, with who decided and what was proposed."""
    outcome: dict[str, Any] = decision.outcome or {}
    return {
        **outcome,
        "verdict": decision.verdict,
        "reason": decision.reason,
        "decided_by": str(decision.decided_by),
        "proposed_mm": decision.proposal["shift_mm"],
    }


def _questions(side: SideProposals) -> list[str]:
    of_sleeve = side.proposal.questions if side.proposal else ()
    asked = (*(question for _, question in side.garment.questions), *of_sleeve)
    return [f"{side.side.label}: {question.text}" for question in asked]
