"""The order in which a garment is looked at: what comes later waits for what is earlier.

The coat's order is the trade's (balance first, sleeves last); those of waistcoat and trousers are
trade practice, no source. Ids are stable: the record keeps them for years.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One part of a garment to be looked at; `look` says at what."""

    id: str
    name: str
    look: str


_BALANCE: Final = Check(
    id="balance",
    name="Balance",
    look="Front against back length, seen from the side: fronts, back, hem.",
)
_COAT: Final = (
    _BALANCE,
    Check(
        id="shoulders",
        name="Shoulders",
        look="Slope, width and straightness, each side by itself.",
    ),
    Check(id="collar", name="Collar and neck", look="How the collar lies, all the way round."),
    Check(
        id="chest",
        name="Chest, back, armhole",
        look="Width across chest and back; where the armhole lies, and its size.",
    ),
    Check(
        id="waist",
        name="Waist, sides, hips, vents",
        look="How the waist closes, the side seams, the skirt and its vents.",
    ),
    Check(
        id="fronts",
        name="Fronts and length",
        look="Fronts, lapel, buttons, pockets, length of the coat.",
    ),
    Check(
        id="sleeves",
        name="Sleeves",
        look="Pitch first, then width, then length and cuff.",
    ),
)
_WAISTCOAT: Final = (
    _BALANCE,
    Check(id="neck", name="Neck and armhole", look="How it lies at the neck and at the armholes."),
    Check(id="sides", name="Sides", look="Width over chest, stomach and waist."),
    Check(
        id="length",
        name="Length",
        look="It must clear the waistband of the trousers by 20 mm.",
    ),
    Check(id="points", name="Points", look="How the points of the fronts lie."),
)
_TROUSERS: Final = (
    Check(id="waistband", name="Waist", look="Where the waist sits, and its width."),
    Check(id="seat", name="Seat", look="Standing, then seated: the seat from behind."),
    Check(id="rise", name="Rise", look="From waist to fork, front and back."),
    Check(id="leg", name="Leg", look="How the leg hangs from the fork down, each by itself."),
    Check(id="length", name="Length", look="Length and slant of the hem, each leg by itself."),
)
ORDERS: Final[Mapping[str, tuple[Check, ...]]] = {
    "coat": _COAT,
    "overcoat": _COAT,
    "waistcoat": _WAISTCOAT,
    "trousers": _TROUSERS,
}
CHECK_IDS: Final = frozenset(check.id for order in ORDERS.values() for check in order)
SLEEVES: Final = "sleeves"


def order_of(garment: str) -> tuple[Check, ...]:
    """The checks of a garment ("coat", "overcoat", "waistcoat", "trousers"), first to last."""
    return ORDERS[garment]


def has_sleeves(garment: str) -> bool:
    """Whether sleeves are looked at on this garment at all."""
    return any(check.id == SLEEVES for check in order_of(garment))


def check_name(check: str) -> str:
    """What a check is called; some share a name between garments."""
    for order in ORDERS.values():
        for one in order:
            if one.id == check:
                return one.name
    return check.capitalize()


def not_to_be_trusted(garment: str, check: str, settled: Collection[str]) -> str:
    """Why what is read at this check waits for an earlier one; "" where it need not.

    `settled` has the ids of what is settled. It tells, and never forbids.
    """
    order = order_of(garment)
    place = [c.id for c in order].index(check)
    waiting = [f"{n} {c.name}" for n, c in enumerate(order[:place], start=1) if c.id not in settled]
    if not waiting:
        return ""
    be = "is" if len(waiting) == 1 else "are"
    return (
        f"Not to be trusted yet: {'; '.join(waiting)} {be} not settled. "
        "What comes earlier can look like a fault here."
    )
