"""A piece laid as we lay it: front to the right, head up, biceps line level, edges end to end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import atan2, cos, degrees, sin
from typing import Final

import numpy as np

from patterns.bringing.brought import Named, NotBroughtIn
from patterns.bringing.joining import MEETS_MM, joined, meeting
from patterns.bringing.names import EDGES, NET, NOTCHES
from patterns.geometry.arclength import FloatArray
from patterns.geometry.path import Path

_GAP_MM: Final = 3 * MEETS_MM
_NEAR_MM: Final = 8.0  # a notch must touch its edge, or nearly
_MOST_ALIKE: Final = 0.05
_LEVELS: Final = ("biceps line", "elbow line")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """One piece with its edges (as `geometry.piece.Piece` has them), level lines (2, 2) from
    hindarm to forearm, and notches: name ("" where the file has none) and point."""

    name: str
    edges: dict[str, Path]
    levels: dict[str, FloatArray]
    notches: tuple[tuple[str, FloatArray], ...]
    mirrored: bool
    remarks: tuple[str, ...] = ()

    def moved(self, x_mm: float, y_mm: float) -> Laid:
        by = np.array([x_mm, y_mm])
        return Laid(
            name=self.name,
            edges={name: edge.mapped(np.eye(2), by) for name, edge in self.edges.items()},
            levels={name: ends + by for name, ends in self.levels.items()},
            notches=tuple((name, at + by) for name, at in self.notches),
            mirrored=self.mirrored,
            remarks=self.remarks,
        )


@dataclass(slots=True, kw_only=True)
class _Piece:
    """A piece on its way: its lines by part, and what was done to it."""

    name: str
    parts: dict[str, list[FloatArray]]
    mirrored: bool = False
    remarks: list[str] = field(default_factory=list)

    def turn(self, matrix: FloatArray) -> None:
        self.parts = {
            part: [np.asarray(spans @ matrix.T) for spans in lines]
            for part, lines in self.parts.items()
        }

    def middle(self, part: str) -> FloatArray:
        return np.asarray(np.concatenate(self.parts[part]).reshape(-1, 2).mean(axis=0))


def lay(name: str, lines: Sequence[Named]) -> Laid:
    """Lay one sleeve piece. Refuses NotBroughtIn what is missing or does not meet."""
    piece = _Piece(name=name, parts=_parts(name, lines))
    if piece.middle("cuff")[1] < piece.middle("head")[1]:
        piece.turn(-np.eye(2))
        piece.remarks.append(f"The {name} lay with its cuff up and was turned about.")
    if piece.middle("forearm")[0] < piece.middle("hindarm")[0]:
        piece.turn(np.diag([-1.0, 1.0]))
        piece.mirrored = True
    _level(piece)
    edges = _closed(name, {e: joined(e, f"The {name}'s {e}", piece.parts[e]) for e in EDGES})
    return Laid(
        name=name,
        edges=edges,
        levels={part: _across(piece.parts[part]) for part in _LEVELS if part in piece.parts},
        notches=tuple(_notches(piece, edges)),
        mirrored=piece.mirrored,
        remarks=tuple(piece.remarks),
    )


def _parts(name: str, lines: Sequence[Named]) -> dict[str, list[FloatArray]]:
    parts: dict[str, list[FloatArray]] = {}
    for line in lines:
        parts.setdefault(line.part or line.layer, []).append(line.spans_mm)
    missing = [edge for edge in EDGES if edge not in parts]
    if len(missing) == len(EDGES) and NET in parts:
        parts |= _by_place(name, parts.pop(NET))
    elif missing:
        raise NotBroughtIn(
            f"The {name} has no {' and no '.join(missing)}; each of its four edges must be drawn "
            "and named: head, hindarm, cuff, forearm."
        )
    for part, lines_of in _by_height(parts.pop("LEVEL", [])).items():
        parts.setdefault(part, lines_of)
    grain = parts.pop("grain", []) + parts.pop("GRAIN", [])
    if grain:
        parts["grain"] = [max(grain, key=lambda spans: float(np.hypot(*_way(spans))))]
    return parts


def _by_place(name: str, lines: list[FloatArray]) -> dict[str, list[FloatArray]]:
    """The four edges told apart: head above, cuff below, of the seams the hindarm is longer."""
    if len(lines) != len(EDGES):
        raise NotBroughtIn(
            f"The {name} has {len(lines)} lines on the layer NET; it must be four, one for each "
            "edge, or each on a layer of its own name."
        )
    down = sorted(lines, key=lambda spans: float(spans[..., 1].mean()))
    seams = [Path(name="seam", spans_mm=spans) for spans in down[1:3]]
    if abs(seams[0].length_mm - seams[1].length_mm) < _MOST_ALIKE:
        raise NotBroughtIn(
            f"The two seams of the {name} are equally long, so they cannot be told apart; put them "
            "on layers named HINDARM and FOREARM."
        )
    forearm, hindarm = sorted(seams, key=lambda seam: seam.length_mm)
    return {
        "head": [down[0]],
        "cuff": [down[3]],
        "hindarm": [hindarm.spans_mm],
        "forearm": [forearm.spans_mm],
    }


def _by_height(lines: list[FloatArray]) -> dict[str, list[FloatArray]]:
    down = sorted(lines, key=lambda spans: float(spans[..., 1].mean()))
    return {part: [spans] for part, spans in zip(_LEVELS, down, strict=False)}


def _level(piece: _Piece) -> None:
    """Turn the piece until its biceps line is level, or its grain plumb."""
    if "biceps line" in piece.parts:
        first, last = _across(piece.parts["biceps line"])
        way = last - first
        turn = atan2(way[1], way[0])
    elif "grain" in piece.parts:
        way = _way(piece.parts["grain"][0])
        way = way if way[1] > 0 else -way
        turn = -atan2(way[0], way[1])
    else:
        piece.remarks.append(
            f"The {piece.name} has neither a biceps line nor a grain line, so it was taken to lie "
            "straight as it is drawn."
        )
        return
    c, s = cos(turn), sin(turn)
    piece.turn(np.array([[c, s], [-s, c]]))
    if abs(degrees(turn)) > 1.0:
        piece.remarks.append(
            f"The {piece.name} lay {abs(degrees(turn)):.0f} degrees out of level and was turned."
        )


def _across(lines: list[FloatArray]) -> FloatArray:
    """The two ends (2, 2) of a level line, the hindarm's first."""
    ends = np.concatenate([[spans[0, 0], spans[-1, 3]] for spans in lines])
    return np.asarray(ends[[int(np.argmin(ends[:, 0])), int(np.argmax(ends[:, 0]))]])


def _way(spans: FloatArray) -> FloatArray:
    return np.asarray(spans[-1, 3] - spans[0, 0])


def _closed(name: str, edges: dict[str, Path]) -> dict[str, Path]:
    """The edges in their own ways, meeting at the corners. Refuses ends that lie apart."""
    for seam in ("hindarm", "forearm"):
        if _apart(edges[seam], False, edges["head"]) > _apart(edges[seam], True, edges["head"]):
            edges[seam] = edges[seam].backwards()
    for across in ("head", "cuff"):
        end = edges["hindarm"].start_mm if across == "head" else edges["hindarm"].end_mm
        if np.hypot(*(edges[across].end_mm - end)) < np.hypot(*(edges[across].start_mm - end)):
            edges[across] = edges[across].backwards()
    corners = (
        ("head", False, "hindarm", False),
        ("head", True, "forearm", False),
        ("cuff", False, "hindarm", True),
        ("cuff", True, "forearm", True),
    )
    for across, far, seam, low in corners:
        ends = [
            edges[one].end_mm if end else edges[one].start_mm
            for one, end in ((across, far), (seam, low))
        ]
        gap = float(np.hypot(*(ends[0] - ends[1])))
        if gap > _GAP_MM:
            raise NotBroughtIn(
                f"The {name}'s {across} and {seam} should meet but lie {gap:.0f} mm apart; join "
                "them at the corner."
            )
        edges[across], edges[seam] = meeting(edges[across], far, edges[seam], low)
    return edges


def _apart(seam: Path, end: bool, head: Path) -> float:
    """From one end of a seam to the nearer end of the head."""
    at = seam.end_mm if end else seam.start_mm
    return min(float(np.hypot(*(at - other))) for other in (head.start_mm, head.end_mm))


def _notches(piece: _Piece, edges: dict[str, Path]) -> list[tuple[str, FloatArray]]:
    """Every notch as a point on the edge it crosses."""
    found = []
    for name in (*NOTCHES, "NOTCH"):
        for spans in piece.parts.get(name, []):
            at = _crossing(Path(name=name, spans_mm=spans), list(edges.values()))
            if at is None:
                piece.remarks.append(f"A notch of the {piece.name} touches no edge; left out.")
            else:
                found.append(("" if name == "NOTCH" else name, at))
    return found


def _crossing(stroke: Path, edges: list[Path]) -> FloatArray | None:
    """Where a straight stroke crosses an edge, the head before the others; else the point of the
    edges nearest to it, if they touch or nearly."""
    fine = [edge.polyline(max(4, 1200 // len(edge.spans_mm))) for edge in edges]
    for points in fine:
        at = _meets(points, stroke.start_mm, stroke.end_mm)
        if at is not None:
            return at
    along = stroke.polyline(200)
    best, nearest = _NEAR_MM, None
    for points in fine:
        apart = np.hypot(*(points[:, None] - along[None]).transpose(2, 0, 1))
        place = np.unravel_index(int(np.argmin(apart)), apart.shape)
        if apart[place] < best:
            best, nearest = float(apart[place]), points[place[0]]
    return nearest


def _meets(points: FloatArray, first: FloatArray, last: FloatArray) -> FloatArray | None:
    way = last - first
    long = float(way @ way)
    if long == 0.0:
        return None
    apart = points - first
    side, share = apart[:, 1] * way[0] - apart[:, 0] * way[1], apart @ way / long
    at = np.flatnonzero((side[:-1] * side[1:] < 0.0) & (share[:-1] >= 0.0) & (share[:-1] <= 1.0))
    if not len(at):
        return None
    low = int(at[0])
    part = side[low] / (side[low] - side[low + 1])
    return np.asarray(points[low] + part * (points[low + 1] - points[low]))
