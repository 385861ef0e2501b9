"""What the rules answer, as a JSON document. Lengths in mm, angles in degrees, six decimals."""

from __future__ import annotations

from dataclasses import asdict, is_dataclass
from enum import Enum
from typing import Any

from patterns.rules.correction import Correction, LeftAlone, Proposal, Question


def report(proposal: Proposal) -> dict[str, Any]:
    return {
        "side": proposal.side.value,
        "corrections": [correction_report(correction) for correction in proposal.corrections],
        "questions": [question_report(question) for question in proposal.questions],
        "left_alone": [left_alone_report(left) for left in proposal.left_alone],
        "warnings": list(proposal.warnings),
    }


def correction_report(correction: Correction) -> dict[str, Any]:
    """One correction; keys that do not concern its operation are left out."""
    said: dict[str, Any] = {
        "key": correction.key,
        "operation": correction.operation,
        "side": correction.side,
        "title": correction.title,
        "shift_mm": correction.shift_mm,
        "angle_deg": correction.angle_deg,
        "sigma_mm": correction.grounds.sigma_mm,
        "meaning": correction.meaning,
        "hindarm_shift_mm": correction.hindarm_mm,
        "forearm_shift_mm": correction.forearm_mm,
        **_by_experience(correction),
        **correction.particulars,
        "moves": correction.moves,
        "iron": correction.iron,
        "inlay": [
            {
                "place": need.place,
                "needed_mm": need.needed_mm,
                "left_mm": need.left_mm,
                "short_mm": need.short_mm,
            }
            for need in correction.inlays
        ],
        "reachable_mm": correction.reachable_mm,
        "unreachable_mm": correction.unreachable_mm,
        "limits": correction.limits,
        "moves_too": correction.moves_too,
        "predicted": correction.predicted,
        "do": correction.do,
        "do_not": correction.do_not,
        "warnings": correction.warnings,
        "provisional": correction.provisional,
        "from": correction.grounds.sources,
        "because": correction.grounds.because,
        "law": correction.law,
    }
    always = {key: value for key, value in said.items() if value is not None}
    plain: dict[str, Any] = _plain(always)
    return plain


def _by_experience(correction: Correction) -> dict[str, Any]:
    """What is needed, where more or less is asked for because only a share of a change comes."""
    if correction.shop_share == 1.0:
        return {}
    return {
        "shop_share": correction.shop_share,
        "needed_mm": correction.shift_mm * correction.shop_share,
    }


def question_report(question: Question) -> dict[str, Any]:
    return {
        "rule": question.rule,
        "text": question.text,
        "from": list(question.sources),
        "answers": list(question.answers),
    }


def left_alone_report(left: LeftAlone) -> dict[str, Any]:
    return {
        "rule": left.rule,
        "text": left.text,
        "from": list(left.sources),
        "shift_mm": _plain(left.shift_mm),
        "sigma_mm": _plain(left.sigma_mm),
    }


def _plain(value: Any) -> Any:
    """Dataclasses, enumerations and tuples as JSON has them; no minus before a nought."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if is_dataclass(value) and not isinstance(value, type):
        return _plain(asdict(value))
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value
