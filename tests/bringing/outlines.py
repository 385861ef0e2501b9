"""Outlines as if brought in: our own draft, and one that no draft of ours has."""

from __future__ import annotations

from typing import Any

import numpy as np

from patterns.geometry.draft import draft
from patterns.geometry.following import Marked
from patterns.geometry.path import Path
from patterns.rules.outline import EDGES, HeadNotch, Outline
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import marked
from tests.rules.test_document import DOCUMENT

DRAFTED = SidePattern.read(DOCUMENT)


def _bent(path: Path) -> Path:
    """Some mm aside everywhere, differently, and joined where it was joined."""
    x, y = path.spans_mm[..., 0], path.spans_mm[..., 1]
    aside = np.stack([4.0 * np.sin(y / 90.0), 3.0 * np.sin(x / 60.0)], axis=-1)
    return Path(name=path.name, spans_mm=path.spans_mm + aside)


def _outline(*, bent: bool) -> Outline:
    pieces = draft(DRAFTED.sleeve, DRAFTED.armhole)
    edges = {p.name: {edge: marked(p, edge) for edge in EDGES} for p in (pieces.top, pieces.under)}
    notches = tuple(
        HeadNotch(name=n.name, piece=p.name, share=edges[p.name]["head"].nearest(n.point_mm))
        for p in (pieces.top, pieces.under)
        for n in p.notches
        if n.edge == "head"
    )
    if bent:
        edges = {
            piece: {name: Marked.at(_bent(e.path), e.marks) for name, e in of.items()}
            for piece, of in edges.items()
        }
    return Outline(edges=edges, notches=notches, base=DRAFTED.written())


def side(*, bent: bool) -> SidePattern:
    document: dict[str, Any] = DRAFTED.written() | {"outline": _outline(bent=bent).written()}
    return SidePattern.read(document)
