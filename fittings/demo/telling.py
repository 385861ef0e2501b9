"""The words in which the invented shop is told: what was read, a visit, a commission."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

Reading = dict[str, Any]


def cuff(offset_mm: float) -> Reading:
    return {"what": "pitch", "cuff_offset_mm": offset_mm, "drop_mm": 600}


def angle(deg: float) -> Reading:
    return {"what": "pitch", "angle_deg": deg}


def dragged(arm_deg: float, sleeve_deg: float) -> Reading:
    """A pitch read by hand, with the figure as it was dragged."""
    detail = {"taken": "figure", "arm_deg": arm_deg, "sleeve_deg": sleeve_deg}
    return {"what": "pitch", "angle_deg": arm_deg - sleeve_deg, "detail": detail}


def swing(clears: str) -> Reading:
    return {"what": "swing_test", "clears_when_arm_goes": clears}


def crease(where: str, kind: str) -> Reading:
    return {"what": "crease", "where": where, "kind": kind}


def slack(where: str, depth_mm: float) -> Reading:
    return {"what": "slack", "where": where, "depth_mm": depth_mm}


def elbow(deg: float) -> Reading:
    return {"what": "elbow_direction", "turn_deg": deg}


def shows(by_mm: float, want_mm: float) -> Reading:
    return {"what": "hindarm_shows", "by_mm": by_mm, "want_mm": want_mm}


def length(mm: float) -> Reading:
    return {"what": "length", "amount_mm": mm}


def finding(id_: str, amount_mm: float | None = None) -> Reading:
    amount = {} if amount_mm is None else {"amount_mm": amount_mm}
    return {"what": "finding", "finding": id_, **amount}


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A fitting `days_ago`. `amend` and `refuse`: operation -> (amount, reason) or reason.

    `seen`: findings of the garment, each the side ("" the whole of it) and its id in the book.
    `left_off` is how far it went: read, signed, issued, or worked (all lines done and checked).
    """

    days_ago: int
    stage: str = "baste"
    left: tuple[Reading, ...] = ()
    right: tuple[Reading, ...] = ()
    seen: tuple[tuple[str, str], ...] = ()
    settled: bool = True
    amend: dict[str, tuple[float, str]] = field(default_factory=dict)
    refuse: dict[str, str] = field(default_factory=dict)
    left_off: str = "worked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Commission:
    """An order of person number `who`, cut from a new pattern or from the newest one they have.

    `retires`: drafted anew, and why the pattern before is retired. `branched`: from a branch of it.
    `noted`: what was altered on the garment alone: what, where, side, mm.
    """

    who: int
    cloth: int = 0
    garment: str = "coat"
    ordered_ago: int
    promised_in: int
    stage: str
    # Cut from a pattern drafted for it alone, which no later order is cut from.
    own_pattern: bool = False
    visits: tuple[Visit, ...] = ()
    retires: str = ""
    branched: bool = False
    noted: tuple[tuple[str, str, str, float], ...] = ()
