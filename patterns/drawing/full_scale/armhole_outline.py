"""The armhole at true size with its pitches and shoulder: to lay beside the coat, not to cut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.drawing.full_scale.layers import Curve, Drawn, Item, Layer, Strokes, Words, crosses
from patterns.drawing.full_scale.words import title_block
from patterns.drawing.sheet import View
from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole
from patterns.rules.pattern import SidePattern

_MARK_MM = 6.0  # a mark stands so far to either side of the line
_OUT_MM = 9.0  # and its words so far outside it
_SAME_MM = 0.05


def armhole_outline(
    after: SidePattern, before: SidePattern | None, *, way: int, key: str, told: tuple[str, ...]
) -> Drawn:
    """The armhole seen from its own side of the wearer; `way` -1 mirrors it for the left.

    `told` are the lines under its name. The marks named "... goes here" are where the seams and
    the crown notch of the sleeve stand, where that is not at the pitches and the shoulder.
    """
    view = View(scale=1.0, way=way, up=True)
    items: list[Item] = []
    if before and before.armhole_document != after.armhole_document:
        spans = view.at(before.armhole.curve.beziers())
        items.append(Curve(layer=Layer.OLD, name="old armhole", spans_mm=spans))
    armhole = after.armhole
    spans = view.at(armhole.curve.beziers())
    items.append(Curve(layer=Layer.NET, name="armhole", spans_mm=spans))
    for s_mm, name, toward in _places(after, armhole):
        items += _mark(armhole, view, s_mm, name, toward)
    items += _front_and_back(armhole, view)
    left, low, right, high = armhole.curve.bounds_mm
    middle = view.at(((left + right) / 2, (low + high) / 2))
    items += title_block(("ARMHOLE", *told, "net line: not to cut"), middle)
    return Drawn(key=key, title=f"armhole, {told[0]}", items=tuple(items))


def _places(after: SidePattern, armhole: Armhole) -> Iterator[tuple[float, str, int]]:
    """Distances round the armhole, what is marked there, and where it is named: outside it 1."""
    sleeve = after.sleeve
    seat = armhole.seat(
        sleeve.notch_shift_mm, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
    )
    for fixed, name, seated, what in (
        (armhole.front_pitch_s_mm, "front pitch", seat.front_s_mm, "forearm seam"),
        (armhole.crown_s_mm, "shoulder", seat.crown_s_mm, "crown notch"),
        (armhole.back_pitch_s_mm, "back pitch", seat.back_s_mm, "hindarm seam"),
    ):
        if abs(seated - fixed) < _SAME_MM:
            yield fixed, f"{name}, {what}", 1
        else:
            yield fixed, name, -1
            yield seated, f"{what} goes here", 1


def _mark(armhole: Armhole, view: View, s_mm: float, name: str, toward: int) -> Iterator[Item]:
    at = armhole.curve.point_at(s_mm)
    along = armhole.curve.tangent_at(s_mm)
    out = np.array([along[1], -along[0]])  # s runs up the front: outside lies to its right
    ends = view.at([at - _MARK_MM * out, at + _MARK_MM * out])
    yield Strokes(layer=Layer.NOTCH, name=name, strokes_mm=ends[None])
    yield crosses(name, view.at(at))
    words_at = view.at(at + toward * _OUT_MM * out)
    yield Words(text=name, at_mm=words_at, anchor=_anchor(words_at - view.at(at)))


def _anchor(outward: FloatArray) -> str:
    """Words run away from the line."""
    if abs(outward[0]) < abs(outward[1]) / 4:
        return "middle"
    return "start" if outward[0] > 0 else "end"


def _front_and_back(armhole: Armhole, view: View) -> Iterator[Words]:
    rearmost, low, foremost, high = armhole.curve.bounds_mm
    for word, x, toward in (("FRONT", foremost, view.way), ("BACK", rearmost, -view.way)):
        at = view.at((x, (low + high) / 2)) + np.array([toward * _OUT_MM, 0.0])
        yield Words(text=word, at_mm=at, anchor="start" if toward > 0 else "end", bold=True)
