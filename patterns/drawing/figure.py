"""The hanging sleeve from back, side and front: edges, seams seen and hidden, where the elbow goes.

Sleeve geometry, section 4. The three views stand beside each other as if unfolded, the side in
the middle, so that heights run across.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from patterns.drawing.labels import Label, put_beside
from patterns.drawing.look import LEAST_MM, ON_EDGE, Hung, Look, looks_of, told
from patterns.drawing.marks import arrow
from patterns.drawing.sheet import (
    BARE_MARGIN_MM,
    FAINT,
    FINE,
    HAIR,
    LINE_MM,
    NEW,
    Pen,
    Sheet,
    amount,
)
from patterns.geometry.arclength import FloatArray
from patterns.geometry.hanging import Hanging, Line, Seam

SEEN: Final = Pen(width_mm=0.4)
HIDDEN: Final = Pen(width_mm=0.3, dash_mm=(0.8, 0.8))
WAS: Final = Pen(width_mm=0.16)
_BETWEEN_MM = 3.0
_ARROW_MM = 11.0  # the elbow's arrow, seen square
_LEAST_ARROW_MM = 3.0


def three_views(before: Hanging | None, after: Hanging, *, side: str, scale: float) -> str:
    """SVG of a sleeve from the back, the side and the front; the state before it drawn thin.

    side: "left" or "right", the wearer's, one the mirror of the other. scale: mm on paper for one
    mm of cloth.
    """
    title = f"The sleeve as it will hang, wearer's {side}"
    states = [Hung.of(hung) for hung in (before, after) if hung is not None]
    looks = looks_of(side, scale)
    sheet, edge = Sheet(title, f"{title}. {told(states[-1], looks)}"), 0.0
    for look in looks:
        outlines = [look.outline(state) for state in states]
        left, right = look.room(states, outlines)
        placed = replace(look, origin_mm=(edge + left, 0.0))
        _surroundings(sheet, placed, states[0].hung, (left, right))
        _view(sheet, placed, states, [outline + placed.origin_mm for outline in outlines])
        edge += left + right + _BETWEEN_MM
    return sheet.svg(BARE_MARGIN_MM)


def _view(sheet: Sheet, look: Look, states: list[Hung], outlines: list[FloatArray]) -> None:
    after = states[-1]
    for before, outline in zip(states[:-1], outlines, strict=False):
        _before(sheet, look, before, outline)
    _line(sheet, outlines[-1], NEW, f"{look.name} outline")
    near, far, open_ = after.hung.cuff(look.towards)
    _line(sheet, look.at(near), NEW, f"{look.name} cuff")
    if open_:
        _line(sheet, look.at(far), FINE, f"{look.name} cuff beyond")
    if look.name == "side":
        _line(sheet, look.armhole(after.hung), FINE, "side armhole")
    for seam, line in after.seams.items():
        _strokes(sheet, look, line, {True: SEEN, False: HIDDEN}, f"{look.name} {seam}")
    tip = _elbow(sheet, look, after.hung)
    put_beside(sheet, np.concatenate([*outlines, tip]), _labels(look, after, tip))


def _before(sheet: Sheet, look: Look, before: Hung, outline: FloatArray) -> None:
    _line(sheet, outline, WAS, f"{look.name} outline before")
    _line(sheet, look.at(before.hung.cuff(look.towards)[0]), WAS, f"{look.name} cuff before")
    for seam, line in before.seams.items():
        _strokes(sheet, look, line, {True: WAS}, f"{look.name} {seam} before")


def _strokes(sheet: Sheet, look: Look, line: Line, pens: dict[bool, Pen], name: str) -> None:
    """A seam in stretches seen and hidden, each with its pen, or left out."""
    at, seen = look.at(line.points_mm), line.faces(look.towards) > -ON_EDGE
    seen = seen[:-1] & seen[1:]
    cuts = [0, *(np.flatnonzero(seen[1:] != seen[:-1]) + 1), len(seen)]
    for first, last in pairwise(int(cut) for cut in cuts):
        pen = pens.get(bool(seen[first]))
        if pen is not None:
            state = "seen" if seen[first] else "hidden"
            _line(sheet, at[first : last + 1], pen, f"{name} {state}")


def _elbow(sheet: Sheet, look: Look, hung: Hanging) -> FloatArray:
    """The elbow's point and an arrow where it points; returns the points taken up (n, 2)."""
    at, way = hung.elbow()
    start = look.at(at)
    along = look.at(at + way / look.scale) - start
    tip = start + _ARROW_MM * along
    sheet.disc(start, 0.7, solid=bool(way @ look.towards > -ON_EDGE))
    if np.hypot(*(tip - start)) < _LEAST_ARROW_MM:
        return start[None]
    arrow(sheet, np.array([start, tip]), f"{look.name} elbow")
    return np.array([start, tip])


def _labels(look: Look, drawn: Hung, elbow: FloatArray) -> list[Label]:
    """The hindarm named on the upper sleeve, the forearm below the elbow, clear of the arrow."""
    hung = drawn.hung
    elbow_at, last = hung.elbow_at, len(hung.down_mm) - 1
    places: dict[Seam, int] = {"hindarm": elbow_at // 2, "forearm": (elbow_at + last) // 2}
    labels = [Label(lines=("elbow",), at_mm=elbow[-1], way=look.out, leader=len(elbow) == 1)]
    for seam, place in places.items():
        said = drawn.sight(seam, look)
        if look.name == "side" and seam == "hindarm":
            said = _shown(drawn.shows_mm)
        lines = tuple(words for words in (seam, "seam", said) if words != "seen")
        at = drawn.seams[seam].points_mm[place - last - 1]
        # Where the sleeve hangs back there is room in front.
        way = -look.out if look.name == "side" and seam == "forearm" and at[0] < 0 else look.out
        labels.append(Label(lines=lines, at_mm=look.at(at), way=way))
    return labels


def _shown(mm: float) -> str:
    if abs(mm) < LEAST_MM:
        return "on the edge"
    return f"shows {amount(mm)} mm" if mm > 0 else "hidden"


def _surroundings(sheet: Sheet, look: Look, hung: Hanging, reach_mm: tuple[float, float]) -> None:
    """Title, plumb line, ground line with its ends named, and a hint of shoulder and trunk."""
    x, _ = look.origin_mm
    *_, high = hung.armhole.curve.bounds_mm
    ground = (hung.sleeve.length_mm - high + 45.0) * look.scale
    top = look.at(hung.armhole_mm(np.array([hung.armhole.crown_s_mm])))[0]
    sheet.strokes([[top, (top[0], ground)]], FAINT, f"{look.name} plumb line")
    left, right = x - reach_mm[0], x + reach_mm[1]
    sheet.strokes([[(left, ground), (right, ground)]], HAIR, "ground")
    ends = ("outside", "body") if look.name != "side" else ("back", "front")
    low = ground + LINE_MM * 0.8
    for words, place, anchor in zip(
        ends[:: -look.out], (left, right), ("start", "end"), strict=True
    ):
        sheet.words(words, place, low, anchor=anchor)
    title = f"FROM THE {look.name.upper()}"
    sheet.words(title, x, -high * look.scale - 3.2 * LINE_MM, anchor="middle", bold=True)
    if look.name != "side":
        _trunk(sheet, look, hung)


def _trunk(sheet: Sheet, look: Look, hung: Hanging) -> None:
    crown, under = hung.armhole_mm(np.array([hung.armhole.crown_s_mm, 0.0]))
    shoulder = crown + np.array([[0, 0, 0], [0, -70, 18], [0, -125, 42]])
    edge = under + np.array([[0, 0, 0], [0, -8, -90], [0, -14, -200], [0, -8, -320]])
    for points in (shoulder, edge):
        _line(sheet, look.at(points), WAS, f"{look.name} body")


def _line(sheet: Sheet, points_mm: FloatArray, pen: Pen, name: str) -> None:
    """A smooth line through points (n, 2)."""
    along = np.hypot(*np.diff(points_mm, axis=0).T)
    apart = np.append(True, along > 1e-6)
    points, along = points_mm[apart], along[apart[1:]]
    ways = np.gradient(points, np.append(0.0, np.cumsum(along)), axis=0)
    reach = along[:, None] / 3.0
    controls = [points[:-1], points[:-1] + reach * ways[:-1], points[1:] - reach * ways[1:]]
    sheet.curve(np.stack([*controls, points[1:]], axis=1), pen, name)
