"""Amounts and directions as a cutter says them."""

from __future__ import annotations


def mm(amount: float) -> str:
    """An amount without its sign: 8 mm, 6.5 mm."""
    return f"{abs(amount):.1f}".removesuffix(".0") + " mm"


def deg(angle: float) -> str:
    return f"{abs(angle):.1f}".removesuffix(".0") + "°"


def listed(words: tuple[str, ...] | list[str]) -> str:
    """a; a and b; a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def cuff(amount: float) -> str:
    return "forward" if amount > 0 else "back"


def up_down(amount: float) -> str:
    return "up" if amount > 0 else "down"
