"""The small pictures of the paper: the bar of 100 mm, the key to the drawings, the strike."""

from __future__ import annotations

from base64 import b64encode
from typing import Final

from patterns.drawing.embedded import PLATE
from patterns.drawing.marks import ADDED_DEG, HATCH, TAKEN_DEG
from patterns.drawing.sheet import NEW, OLD, Pen

_LONG_MM: Final = 9.0
_HIGH_MM: Final = 2.6
_APART_MM: Final = 0.9


def picture(wide_mm: float, high_mm: float, body: str) -> str:
    """A plate of this size whose units are mm of paper: paths and discs, as a `data:` address."""
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide_mm}mm" height="{high_mm}mm" '
        f'viewBox="0 0 {wide_mm} {high_mm}" fill="none" stroke="#000">{body}</svg>'
    )
    return f"{PLATE}{b64encode(svg.encode()).decode()}"


def _line(pen: Pen) -> str:
    dash = " ".join(f"{part:g}" for part in pen.dash_mm) or "none"
    y = _HIGH_MM / 2
    return picture(
        _LONG_MM,
        _HIGH_MM,
        f'<path d="M0 {y}L{_LONG_MM} {y}" '
        f'stroke-width="{pen.width_mm}" stroke-dasharray="{dash}"/>',
    )


def _hatched(angle_deg: float) -> str:
    """Strokes at 45 degrees, rising to the right where cloth is added."""
    count = int((_LONG_MM - _HIGH_MM) / _APART_MM)
    low, high = (_HIGH_MM, 0.0) if angle_deg > 0 else (0.0, _HIGH_MM)
    strokes = "".join(
        f"M{x * _APART_MM:.2f} {low}L{x * _APART_MM + _HIGH_MM:.2f} {high}" for x in range(count)
    )
    return picture(_LONG_MM, _HIGH_MM, f'<path d="{strokes}" stroke-width="{HATCH.width_mm}"/>')


def _disc(radius_mm: float, fill: str) -> str:
    at = f'cx="1.7" cy="1.3" r="{radius_mm}"'
    return picture(3.4, _HIGH_MM, f'<circle {at} fill="{fill}" stroke-width="0.3"/>')


KEY: Final = {
    "old": _line(OLD),
    "new": _line(NEW),
    "added": _hatched(ADDED_DEG),
    "taken": _hatched(TAKEN_DEG),
    "was": _disc(1.1, "#fff"),
    "goes": _disc(0.9, "#000"),
}

# The ends are drawn inside, so that from outside to outside it is 100 mm.
BAR: Final = picture(
    100, 3, '<path d="M0.1 0L0.1 3M99.9 0L99.9 3M0 1.5L100 1.5" stroke-width="0.2"/>'
)

STRIKE: Final = picture(
    190,
    260,
    '<path d="M2 256L182 4M8 258L188 6" stroke-width="0.8" stroke-opacity="0.6"/>',
)
