"""The two pieces of a pattern as they were brought in: the document they are kept as.

    {"top sleeve": {"head": [[[x, y], [x, y], [x, y], [x, y]], ...], "hindarm": ..., "cuff": ...,
                    "forearm": ..., "marks": {"crown": 0.46, "hindarm head": 0.2, ...}},
     "under sleeve": ..., the same without "crown",
     "notches": [{"name": "crown", "piece": "top sleeve", "share": 0.46}, ...],
     "base": {"armhole": ..., "sleeve": ...}}

Edges are cubic Bezier spans in mm, in the frame and the order of `geometry.piece.Piece`. A mark is
a share of its edge's arc length; a notch is a share of the head's. `base` is the state at which
the pieces were brought in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Self

import numpy as np

from patterns.geometry.following import Marked
from patterns.geometry.path import Path
from patterns.geometry.piece import TOP, UNDER
from patterns.rules.document import BadDocument, Document

PIECES: Final = (TOP, UNDER)
EDGES: Final = ("head", "hindarm", "cuff", "forearm")
SEAMS: Final = ("hindarm", "forearm")
MARKS: Final = ("head", "elbow")  # of each seam: where biceps line and elbow line meet it
MOST_SPANS: Final = 2000  # of one edge
_FARTHEST_MM = 5000.0
_DIGITS = 6
_LEAST_SHARE = 1e-4  # of an edge, between two marks


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadNotch:
    """A notch on a head: its name, the piece, and its share of that head from the hindarm."""

    name: str
    piece: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outline:
    """Edges by piece and name, each with its marks; the head's notches; the state it belongs to."""

    edges: Mapping[str, Mapping[str, Marked]]
    notches: tuple[HeadNotch, ...]
    base: Document

    @classmethod
    def read(cls, document: Document) -> Self:
        """Refuses BadDocument what is not the form above."""
        try:
            edges = {piece: _edges(document[piece], piece) for piece in PIECES}
            notches = tuple(HeadNotch(**notch) for notch in document["notches"])
            base = document["base"]
            sound = all(n.piece in PIECES and 0.0 <= n.share <= 1.0 for n in notches)
            sound = sound and {"armhole", "sleeve"} == set(base)
        except (KeyError, TypeError, ValueError, AttributeError) as fault:
            raise BadDocument([f"$.outline: {fault}"]) from None
        if not sound:
            raise BadDocument(["$.outline: a notch or the base is not as it should be"])
        return cls(edges=edges, notches=notches, base=base)

    def written(self) -> dict[str, Any]:
        return {
            **{piece: _written(self.edges[piece], piece) for piece in PIECES},
            "notches": [
                {"name": n.name, "piece": n.piece, "share": round(n.share, 9)} for n in self.notches
            ],
            "base": dict(self.base),
        }


def mark_names(piece: str, edge: str) -> tuple[str, ...]:
    """Names of the marks of one edge, in the order in which they lie along it."""
    if edge == "head":
        return ("crown",) if piece == TOP else ()
    return tuple(f"{edge} {mark}" for mark in MARKS) if edge in SEAMS else ()


def _edges(document: Document, piece: str) -> dict[str, Marked]:
    marks = document["marks"]
    return {
        edge: Marked.at(
            Path(name=edge, spans_mm=_spans(document[edge])),
            _increasing([float(marks[name]) for name in mark_names(piece, edge)]),
        )
        for edge in EDGES
    }


def _increasing(marks: Sequence[float]) -> Sequence[float]:
    if not np.all(np.diff([0.0, *marks, 1.0]) > _LEAST_SHARE):
        raise ValueError("the marks of an edge do not follow each other")
    return marks


def _spans(document: Any) -> Any:
    spans = np.array(document, dtype=float)
    if spans.ndim != 3 or spans.shape[1:] != (4, 2) or not 0 < len(spans) <= MOST_SPANS:
        raise ValueError("an edge is not a line of cubic spans")
    if not np.all(np.abs(spans) <= _FARTHEST_MM):
        raise ValueError("an edge has a place that is no number of mm")
    if len(spans) > 1 and np.abs(spans[1:, 0] - spans[:-1, 3]).max() > 1e-3:
        raise ValueError("an edge is broken")
    return spans


def _written(edges: Mapping[str, Marked], piece: str) -> dict[str, Any]:
    marks = {
        name: round(share, 9)
        for edge in EDGES
        for name, share in zip(mark_names(piece, edge), edges[edge].marks, strict=True)
    }
    kept = {edge: edges[edge].path.spans_mm.round(_DIGITS).tolist() for edge in EDGES}
    return {**kept, "marks": marks}
