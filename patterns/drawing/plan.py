"""The sleeve's section at the elbow, seen from above: where the seams lie and the elbow points."""

from __future__ import annotations

from typing import Final

import numpy as np

from patterns.drawing.labels import Label, put_beside
from patterns.drawing.marks import arrow
from patterns.drawing.sheet import (
    BARE_MARGIN_MM,
    FAINT,
    HAIR,
    LINE_MM,
    NEW,
    Sheet,
    View,
    amount,
)
from patterns.geometry.arclength import FloatArray
from patterns.geometry.hanging import SEAMS, Hanging, Seam
from patterns.geometry.section import Section

_AROUND: Final = 48
_ARROW_MM, _BACK_MM = 7.0, 9.0  # beyond the sleeve, on paper
_LEAST_DEG = 0.05


def elbow_plan(before: Hanging | None, after: Hanging, *, side: str, scale: float) -> str:
    """SVG of the section at the elbow from above, the wearer's front at the top of the paper.

    side: "left" or "right", the wearer's, one the mirror of the other. The seams as they were are
    hollow marks. scale: mm on paper for one mm of cloth.
    """
    way = 1 if side == "right" else -1
    title = f"The elbow from above, wearer's {side}"
    sheet = Sheet(title, f"{title}: it points {_points(after)}.")
    view = View(scale=scale, way=way, up=True)
    ring = view.at(
        _section(after).point_at(np.linspace(0, 1, _AROUND + 1) * _girth(after))[:, ::-1]
    )
    sheet.strokes(np.stack([ring[:-1], ring[1:]], axis=1), NEW, "section")
    lowest = float(ring[:, 1].max())
    sheet.strokes([[(0.0, float(ring[:, 1].min())), (0.0, lowest + _BACK_MM)]], FAINT, "straight")
    for hung in (before, after):
        if hung is not None:
            for seam in SEAMS:
                sheet.disc(_seam(view, hung, seam), 1.1, solid=hung is after)
    tip = _arrow(sheet, view, after)
    labels = [
        Label(lines=(f"{seam} seam",), at_mm=_seam(view, after, seam), way=-way) for seam in SEAMS
    ]
    labels.append(Label(lines=("elbow", _points(after)), at_mm=tip, way=way, leader=False))
    put_beside(sheet, np.concatenate([ring, tip[None]]), labels)
    sheet.words("FRONT", 0.0, float(ring[:, 1].min()) - LINE_MM, anchor="middle", bold=True)
    sheet.words("BACK", 0.0, lowest + _BACK_MM + LINE_MM, anchor="middle", bold=True)
    return sheet.svg(BARE_MARGIN_MM)


def _points(hung: Hanging) -> str:
    angle = hung.angles.elbow_turn_deg
    if abs(angle) < _LEAST_DEG:
        return "straight back"
    return f"{amount(angle)}° {'outward' if angle > 0 else 'inward'}"


def _girth(hung: Hanging) -> float:
    return hung.sleeve.girth_mm.elbow


def _section(hung: Hanging) -> Section:
    return Section(girth_mm=_girth(hung), ratio=hung.sleeve.section_ratio)


def _seam(view: View, hung: Hanging, seam: Seam) -> FloatArray:
    """Where a seam lies on the section, on paper: outward across, forward up."""
    start = _girth(hung) / 2 if seam == "hindarm" else 0.0
    shift: float = getattr(hung.sleeve, f"{seam}_shift_mm").elbow
    return view.at(_section(hung).point_at(start - shift)[::-1])


def _arrow(sheet: Sheet, view: View, hung: Hanging) -> FloatArray:
    """The elbow's arrow, from the sleeve's surface; returns its tip (2,)."""
    out, section = np.radians(hung.angles.elbow_turn_deg), _section(hung)
    along = np.array([np.sin(out), -np.cos(out)])
    axes = np.array([section.q_mm, section.p_mm])
    start = axes**2 * along / np.hypot(*(axes * along))
    ends = view.at(np.array([start, start + along * _ARROW_MM / view.scale]))
    arrow(sheet, ends, "elbow")
    sheet.strokes([ends], HAIR)
    return np.asarray(ends[1])
