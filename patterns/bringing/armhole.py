"""The armhole of a file as the points and pitches that the rules work on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from patterns.bringing.brought import Named, NotBroughtIn
from patterns.bringing.joining import MEETS_MM, joined
from patterns.bringing.names import NET, NOTCHES, WORDS
from patterns.bringing.units import likely_unit
from patterns.geometry.arclength import FloatArray
from patterns.geometry.following import Marked
from patterns.geometry.path import line
from patterns.rules.document import read_armhole

GIRTH_MM: Final = (300.0, 800.0)
POINTS: Final = 128
_BESIDE_MM: Final = 20.0  # words stand so near the mark that they name
_FRONT, _BACK = NOTCHES[1], NOTCHES[2]


def armhole_document(lines: Sequence[Named], *, mirrored: bool) -> tuple[dict[str, Any], list[str]]:
    """The armhole's document and what is to be told. x forward, z up, whichever way it lay.

    `mirrored`: the sleeve of the same side was drawn from the other side. Pitches that are marked
    say it better. Refuses NotBroughtIn an outline that is open or of no armhole's size.
    """
    outline = [one.spans_mm for one in lines if one.part == "outline" or _net(one)]
    if not outline:
        raise NotBroughtIn("The armhole has no line named armhole or outline; name it.")
    path = joined("armhole", "The armhole", outline)
    gap = float(np.hypot(*(path.end_mm - path.start_mm)))
    if gap > 3 * MEETS_MM:
        raise NotBroughtIn(f"The armhole is open by {gap:.0f} mm; draw it closed.")
    if gap > 0.0:
        path = path.then(line("armhole", path.end_mm, path.start_mm))
    _check_girth(path.length_mm)
    up = np.array([1.0, -1.0])
    round_ = Marked.at(path).points(np.arange(POINTS) / POINTS) * up
    pitches = {part: at * up for part, at in _pitches(lines).items()}
    mirror = pitches[_FRONT][0] < pitches[_BACK][0] if len(pitches) == 2 else mirrored
    if mirror:
        round_ = round_ * np.array([-1.0, 1.0])
    return _document(round_, pitches)


def _pitches(lines: Sequence[Named]) -> dict[str, FloatArray]:
    """The middle (2,) of each mark of a pitch: named itself, or the one nearest to its words."""
    strokes = [_middle(one) for one in lines if one.layer == "NOTCH" and not one.part]
    found = {}
    for one in lines:
        if one.part not in (_FRONT, _BACK):
            continue
        at = _middle(one)
        if one.layer == WORDS:
            near = min(strokes, key=lambda mark: float(np.hypot(*(mark - at))), default=at)
            if np.hypot(*(near - at)) > _BESIDE_MM or near is at:
                continue
            at = near
        found[one.part] = at
    return found


def _middle(one: Named) -> FloatArray:
    return np.asarray(one.spans_mm.reshape(-1, 2).mean(axis=0))


def _net(one: Named) -> bool:
    return not one.part and one.layer in ("", NET)


def _document(
    points: FloatArray, pitches: dict[str, FloatArray]
) -> tuple[dict[str, Any], list[str]]:
    points = points - (points.max(axis=0) + points.min(axis=0)) / 2 * np.array([1.0, 0.0])
    middle = (points[:, 1].max() + points[:, 1].min()) / 2
    kept: dict[str, Any] = {
        "points_mm": [[round(float(x), 4), round(float(z - middle), 4)] for x, z in points]
    }
    lowest = read_armhole(kept).curve.bounds_mm[1] + middle
    remarks = []
    for part, key, usual in (
        (_FRONT, "front_pitch_up_mm", "25 mm above its lowest place"),
        (_BACK, "back_pitch_up_mm", "a quarter of its girth above its lowest place"),
    ):
        if part in pitches:
            kept[key] = round(float(pitches[part][1] - lowest), 4)
        else:
            where = part.removesuffix(" notch")
            remarks.append(f"The armhole has no mark for the {where}; it was put {usual}.")
    return kept, remarks


def _check_girth(girth_mm: float) -> None:
    low, high = GIRTH_MM
    if not low <= girth_mm <= high:
        raise NotBroughtIn(
            f"The armhole would be {girth_mm:.4g} mm round, which no coat has. "
            + likely_unit(girth_mm, GIRTH_MM)
        )
