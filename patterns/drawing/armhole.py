"""The armhole plate: where the sleeve's seams and its crown notch were, and where they go."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from patterns.drawing.labels import Label, put_beside
from patterns.drawing.marks import arrow, scale_bar, true_mark
from patterns.drawing.sheet import (
    BARE_MARGIN_MM,
    FAINT,
    LINE_MM,
    NEW,
    OLD,
    TITLE_MM,
    Sheet,
    View,
    amount,
)
from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole, SeamPlaces
from patterns.geometry.sleeve import Sleeve

_STAYS_MM = 0.05
_ARROW_MM = 7.0  # an arrow is at least so long on paper
_INSIDE_MM = 3.4  # and runs so far inside the line
_OUTLINE_POINTS = 256


@dataclass(frozen=True, slots=True, kw_only=True)
class _Move:
    """One mark of the sleeve on the armhole: old and new place, words, and the label's side."""

    name: str
    old_s_mm: float
    new_s_mm: float
    greater: str
    less: str
    in_front: bool

    @property
    def moved_mm(self) -> float:
        return self.new_s_mm - self.old_s_mm

    @property
    def words(self) -> tuple[str, str]:
        if abs(self.moved_mm) < _STAYS_MM:
            return self.name, "stays"
        return (
            self.name,
            f"{self.greater if self.moved_mm > 0 else self.less} {amount(self.moved_mm)}",
        )


def armhole_plate(
    armhole: Armhole,
    before: Sleeve,
    after: Sleeve,
    *,
    side: str,
    scale: float,
    old_armhole: Armhole | None = None,
    with_true_mark: bool = False,
    bare: bool = False,
    say: Callable[[str], str] = str,
) -> str:
    """SVG of an armhole and the marks of a sleeve on it before and after a correction.

    side: "left" or "right", the wearer's, seen from that side of the wearer; the left is the
    mirror of the right. scale: mm on paper for one mm of cloth. The amounts are mm along the
    armhole: pitch shift and the head level's moves of the seams taken together. old_armhole: the
    line as it was, where the armhole itself was recut, which leaves the pitches in place. bare:
    without title, key and scale, for a page that says them itself. say: as of `Sheet`.
    """
    moves = _moves(_seated(armhole, before), _seated(armhole, after))
    told = ", ".join(" ".join(move.words) for move in moves)
    title = f"Armhole, wearer's {side}"
    sheet = Sheet(title, f"{title}, seen from there: {told}. Amounts in mm.", say=say)
    view = View(scale=scale, way=1 if side == "right" else -1, up=True)
    outline = view.at(armhole.curve.polyline(_OUTLINE_POINTS))
    _dividing_lines(sheet, armhole, view)
    if old_armhole is not None:
        sheet.curve(view.at(old_armhole.curve.beziers()), OLD, "armhole as it was", closed=True)
    sheet.curve(view.at(armhole.curve.beziers()), NEW, "armhole", closed=True)
    for move in moves:
        _mark(sheet, armhole, view, move)
    put_beside(sheet, outline, [*_labels(armhole, view, moves), *_sides(outline, view.way)])
    _shoulder(sheet, view)
    if bare:
        return sheet.svg(BARE_MARGIN_MM)
    _surround(sheet, title, f"seen from the wearer's {side}", view, with_true_mark=with_true_mark)
    return sheet.svg()


def _seated(armhole: Armhole, sleeve: Sleeve) -> SeamPlaces:
    return armhole.seat(
        sleeve.notch_shift_mm, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
    )


def _moves(old: SeamPlaces, new: SeamPlaces) -> list[_Move]:
    """Along the armhole s counts up the front, back over the shoulder, and down the back."""
    return [
        _Move(
            name="old crown notch",
            old_s_mm=old.crown_s_mm,
            new_s_mm=new.crown_s_mm,
            greater="to the back",
            less="to the front",
            in_front=new.crown_s_mm < old.crown_s_mm,
        ),
        _Move(
            name="forearm seam",
            old_s_mm=old.front_s_mm,
            new_s_mm=new.front_s_mm,
            greater="up",
            less="down",
            in_front=True,
        ),
        _Move(
            name="hindarm seam",
            old_s_mm=old.back_s_mm,
            new_s_mm=new.back_s_mm,
            greater="down",
            less="up",
            in_front=False,
        ),
    ]


def _mark(sheet: Sheet, armhole: Armhole, view: View, move: _Move) -> None:
    """Hollow where it was, solid where it goes, and inside the line an arrow from one to other."""
    old, new = view.at(armhole.curve.point_at([move.old_s_mm, move.new_s_mm]))
    if abs(move.moved_mm) >= _STAYS_MM:
        sheet.disc(old, 1.5, solid=False)
        long_mm = max(abs(move.moved_mm), _ARROW_MM / view.scale)
        along = move.old_s_mm + np.sign(move.moved_mm) * np.linspace(0, long_mm, 16)
        # Inside lies to the left of the way s counts, as the curve runs front, shoulder, back.
        inward = armhole.curve.tangent_at(along)[:, ::-1] * np.array([-1.0, 1.0])
        inside = armhole.curve.point_at(along) + inward * _INSIDE_MM / view.scale
        arrow(sheet, view.at(inside), "arrow")
    sheet.disc(new, 1.0, solid=True)


def _labels(armhole: Armhole, view: View, moves: list[_Move]) -> list[Label]:
    labels = []
    for move in moves:
        at = view.at(armhole.curve.point_at(move.new_s_mm))
        way = view.way if move.in_front else -view.way
        labels.append(Label(lines=move.words, at_mm=at, way=way))
    return labels


def _sides(outline: FloatArray, way: int) -> list[Label]:
    """The words FRONT and BACK at mid-height."""
    (left, top), (right, bottom) = outline.min(axis=0), outline.max(axis=0)
    ends = {way: right if way > 0 else left, -way: left if way > 0 else right}
    return [
        Label(
            lines=(word,),
            at_mm=np.array([ends[toward] + toward * 2.5, (top + bottom) / 2]),
            way=toward,
            leader=False,
            bold=True,
        )
        for word, toward in (("FRONT", way), ("BACK", -way))
    ]


def _dividing_lines(sheet: Sheet, armhole: Armhole, view: View) -> None:
    """Mid-height and mid-width, which part the armhole into its quarters."""
    rearmost, lowest, foremost, highest = armhole.curve.bounds_mm
    x, z = (rearmost + foremost) / 2, (lowest + highest) / 2
    out = 4.0 / view.scale
    level = [(rearmost - out, z), (foremost + out, z)]
    sheet.strokes([view.at(level), view.at([(x, lowest), (x, highest)])], FAINT, "dividing line")


def _shoulder(sheet: Sheet, view: View) -> None:
    top = sheet.bounds_mm[1]
    sheet.words("SHOULDER", view.origin_mm[0], top - LINE_MM, anchor="middle", bold=True)


def _surround(sheet: Sheet, title: str, seen: str, view: View, *, with_true_mark: bool) -> None:
    """Title, key and scale, above and below what is drawn."""
    left, top, right, bottom = sheet.bounds_mm
    middle = (left + right) / 2
    sheet.words(seen, middle, top - 1.3 * LINE_MM, anchor="middle")
    sheet.words(title, middle, top - 2.6 * LINE_MM, anchor="middle", size_mm=TITLE_MM, bold=True)
    low = bottom + 1.8 * LINE_MM
    sheet.disc(np.array([left + 1.5, low]), 1.5, solid=False)
    sheet.words("where it was", left + 5, low)
    sheet.disc(np.array([left + 32, low]), 1.0, solid=True)
    sheet.words("where it goes", left + 35, low)
    sheet.words("amounts in mm along the armhole", left, low + LINE_MM + 1)
    low = scale_bar(sheet, view.scale, left, low + 3 * LINE_MM)
    if with_true_mark:
        true_mark(sheet, left, low)
