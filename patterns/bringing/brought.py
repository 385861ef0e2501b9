"""What was read from a file: named lines in mm, before anything is understood of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from patterns.geometry.arclength import FloatArray

MOST_BYTES: Final = 2_000_000
MOST_POINTS: Final = 60_000
_FARTHEST_MM: Final = 20_000.0


class NotBroughtIn(ValueError):
    """The file cannot be brought in; the text says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Named:
    """One line of cubic Bezier spans (n, 4, 2), mm, y down the paper.

    `side` is "left", "right" or "" where the file does not say; `piece` "top sleeve",
    "under sleeve" or "armhole"; `part` an edge, "outline", a level line, "grain", a notch ("crown
    notch") or "" for a line that only a layer tells (`layer`, in capitals).
    """

    side: str
    piece: str
    part: str
    spans_mm: FloatArray
    layer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """All lines that had a name we know, and what is to be told about the reading."""

    lines: tuple[Named, ...]
    remarks: tuple[str, ...] = ()

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides that the names say, "left" before "right"; ("",) when they say none."""
        said = sorted({line.side for line in self.lines if line.side})
        return tuple(said) or ("",)

    def of(self, side: str, piece: str) -> tuple[Named, ...]:
        """The lines of one piece, those named for the side and those named for none."""
        return tuple(line for line in self.lines if line.piece == piece and line.side in (side, ""))


def check_size(data: bytes) -> None:
    """Refuse (NotBroughtIn) a file that is empty or larger than a pattern ever is."""
    if not data.strip():
        raise NotBroughtIn("The file is empty; choose another.")
    if len(data) > MOST_BYTES:
        raise NotBroughtIn(
            f"The file holds {len(data) / 1e6:.1f} million bytes; a sleeve needs less than "
            f"{MOST_BYTES / 1e6:.0f}. Save only the sleeve and the armhole, without pictures."
        )


def check_lines(lines: tuple[Named, ...]) -> None:
    """Refuse (NotBroughtIn) places that are no numbers, out of reach, or too many."""
    if not lines:
        raise NotBroughtIn(
            "No line in the file has a name of a piece: name the pieces top sleeve, under sleeve "
            "and armhole, and their edges head, hindarm, cuff and forearm."
        )
    if sum(line.spans_mm.size for line in lines) > 8 * MOST_POINTS:
        raise NotBroughtIn(
            f"The lines have more than {MOST_POINTS} points; draw them as curves, or with fewer."
        )
    for line in lines:
        if not np.all(np.abs(line.spans_mm) <= _FARTHEST_MM):  # false for what is no number
            raise NotBroughtIn(
                f"The {line.piece}'s {line.part or 'line'} has a place that is no number, or "
                "metres away; check the file and its unit."
            )


def straight(points_mm: ArrayLike) -> FloatArray:
    """Cubic spans (n - 1, 4, 2) of the straight lines through points (n, 2); refuses ValueError
    a place that is no number."""
    points = np.asarray(points_mm, dtype=float).reshape(-1, 2)
    if not np.all(np.isfinite(points)):
        raise ValueError("a place is no number")
    first, last = points[:-1], points[1:]
    shares = (0.0, 1 / 3, 2 / 3, 1.0)
    return np.stack([first + (last - first) * share for share in shares], axis=1)
