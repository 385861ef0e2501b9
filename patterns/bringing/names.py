"""The names of pieces, edges and marks as FORMAT.md lists them, however they are written."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

from patterns.geometry.piece import TOP, UNDER

ARMHOLE: Final = "armhole"
PIECES: Final = (TOP, UNDER, ARMHOLE)
EDGES: Final = ("head", "hindarm", "cuff", "forearm")
NOTCHES: Final = ("crown notch", "front pitch notch", "back pitch notch", "elbow notch")
NET: Final = "NET"
WORDS: Final = "WORDS"  # where words stand that name the mark beside them
# Layers of our own files that show something else than the pattern's own lines.
_SHOWN_ONLY: Final = ("CUT", "OLD", "ADDED", "TAKEN", "POINT", "TEXT", "CHECK", "JOIN")
LAYERS: Final = (NET, "NOTCH", "LEVEL", "GRAIN", *_SHOWN_ONLY)

_PARTS: Final = {
    **{edge: edge for edge in EDGES},
    "hindarm seam": "hindarm",
    "forearm seam": "forearm",
    "biceps line": "biceps line",
    "elbow line": "elbow line",
    "grain": "grain",
    "grain line": "grain",
    **{notch: notch for notch in NOTCHES},
    "crown": "crown notch",
    "front pitch": "front pitch notch",
    "back pitch": "back pitch notch",
    # as our own armhole names its marks
    "front pitch forearm seam": "front pitch notch",
    "back pitch hindarm seam": "back pitch notch",
    "outline": "outline",
    "armhole": "outline",
}
_WORD = re.compile(r"[a-z]+|\d+")
_SIDES: Final = {"left": "left", "right": "right"}
_UNSAID: Final = ("wearer", "wearers", "s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """What names say of a line so far, from the outermost group inward."""

    side: str = ""
    piece: str = ""
    part: str = ""
    layer: str = ""

    @property
    def wanted(self) -> bool:
        """Whether the line belongs to a pattern: of a known piece and not only shown."""
        if self.layer in _SHOWN_ONLY or not self.piece:
            return False
        return bool(self.part or self.layer or self.piece == ARMHOLE)

    def told(self, name: str) -> Called:
        """With what one more name says; a name that says nothing changes nothing."""
        words = _WORD.findall(name.lower())
        upper = name.strip().upper()
        if upper in LAYERS:
            return replace(self, layer=upper)
        while words and words[-1].isdigit():
            words.pop()  # an id must be unique in a file, so a name may be numbered
        side = next((_SIDES[word] for word in words if word in _SIDES), self.side)
        words = [word for word in words if word not in _SIDES and word not in _UNSAID]
        text, piece = " ".join(words), self.piece
        for known in PIECES:
            if text == known or text.startswith(f"{known} "):
                piece, text = known, text.removeprefix(known).strip()
                break
        part = _PARTS.get(text, "")
        if not part and (text or piece == self.piece):
            return self
        return replace(self, side=side, piece=piece, part=part or self.part)
