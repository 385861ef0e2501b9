"""Which unit was probably meant when a size cannot be right."""

from __future__ import annotations

from typing import Final

# what a size must be multiplied by, and the mistake that this undoes
_MISTAKES: Final = (
    (10.0, "its numbers are centimetres and were read as millimetres"),
    (25.4, "its numbers are inches and were read as millimetres"),
    (96 / 25.4, "its numbers are millimetres and were read as CSS pixels, 96 to the inch"),
    (72 / 25.4, "its numbers are millimetres and were read as points, 72 to the inch"),
    (1000.0, "its numbers are metres and were read as millimetres"),
    (0.1, "its numbers are millimetres and were read as centimetres"),
    (1 / 25.4, "its numbers are millimetres and were read as inches"),
    (25.4 / 96, "it was saved in CSS pixels, 96 to the inch, and read as millimetres"),
    (25.4 / 72, "it was saved in points, 72 to the inch, and read as millimetres"),
    (0.001, "its numbers are millimetres and were read as metres"),
)


def likely_unit(size_mm: float, within_mm: tuple[float, float]) -> str:
    """A sentence: the mistakes that would bring the size where it belongs, or to look again."""
    low, high = within_mm
    found = [
        f"{why} (then {size_mm * factor:.0f} mm)"
        for factor, why in _MISTAKES
        if low <= size_mm * factor <= high
    ]
    if not found:
        return "Look at the unit of the file, and at whether the right lines are named."
    return f"Perhaps {' or '.join(found)}; save it at true size with its unit."
