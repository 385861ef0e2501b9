"""The two pieces of one side of a pattern: drafted, or brought in and altered since.

A pattern brought in is a drawing, and the corrections speak of numbers. So the numbers are kept
beside the drawing, our own draft is made of them twice, as they were when it was brought in and as
they are now, and the drawing is displaced by what lies between the two drafts: edge by edge, crown
on crown, biceps line on biceps line, elbow on elbow, and by equal shares of arc length in between.
Nothing is displaced twice: what is drawn depends on the numbers alone, so corrections add up in
any order and undo each other exactly as far as the numbers do. A recut armhole does not: it is
drawn anew each time, so an underarm raised and lowered again leaves up to 0.05 mm, and a cleared
front does not come back by filling it.

Limits. At the marks an amount comes out in full; between them it is spread as our draft spreads
it. Where the drawing runs at an angle to our draft, cloth that our draft adds along its own line is
added along that line and not along the drawing's: a seam moved by d round the head lies off the
drawn head by about d times the sine of that angle (3 mm for 20 mm at 10 degrees). An edge keeps its
own length only as far as our draft's does. The two sewn edges of a seam keep the difference in
length that they had when brought in, up to second order.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.draft import TwoPiece, draft
from patterns.geometry.following import Following, Marked
from patterns.geometry.path import Path, line
from patterns.geometry.piece import TOP, UNDER, Notch, Piece
from patterns.rules.outline import EDGES, MARKS, SEAMS, HeadNotch, Outline, mark_names
from patterns.rules.pattern import SidePattern

_GRAIN_SHARE: Final = 0.8  # of the way from the biceps line to the elbow
_ON_SEAM_MM: Final = 0.01  # nearer to the end of the head: on the top sleeve


def two_piece(side: SidePattern) -> TwoPiece:
    """Both pieces of a side, net of seams, as they are now.

    Refuses GeometryRefused what cannot be drafted, BadDocument an outline that is none.
    """
    now = draft(side.sleeve, side.armhole)
    if side.outline is None:
        return now
    outline = Outline.read(side.outline)
    was = SidePattern.read(outline.base)
    base = draft(was.sleeve, was.armhole)
    shift_mm = side.sleeve.notch_shift_mm - was.sleeve.notch_shift_mm
    return _Altered(outline=outline, base=base, now=now, shift_mm=shift_mm).drawn()


def marked(piece: Piece, edge: str) -> Marked:
    """An edge of a piece with its marks, found on it by the piece's named points."""
    bare = Marked.at(next(path for path in piece.edges if path.name == edge))
    names = mark_names(piece.name, edge)
    return Marked.at(bare.path, [bare.nearest(piece.points_mm[name]) for name in names])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Altered:
    """An outline on its way from the draft it was brought in beside to the draft now."""

    outline: Outline
    base: TwoPiece
    now: TwoPiece
    shift_mm: float

    def drawn(self) -> TwoPiece:
        top, under = (self._followed(name) for name in (TOP, UNDER))
        heads = {TOP: top["head"].path(), UNDER: under["head"].path()}
        notches = [self._notch(notch, heads, _crown_mm(top["head"])) for notch in self._notches()]
        hindarm, forearm = (self._ease_mm(seam) for seam in SEAMS)
        return TwoPiece(
            top=_piece(TOP, top, [one for piece, one in notches if piece == TOP]),
            under=_piece(UNDER, under, [one for piece, one in notches if piece == UNDER]),
            hindarm_ease_mm=hindarm + self.now.hindarm_ease_mm - self.base.hindarm_ease_mm,
            forearm_ease_mm=forearm + self.now.forearm_ease_mm - self.base.forearm_ease_mm,
            forearm_stretch_mm=self.now.forearm_stretch_mm,
            fold_difference_mm=self.now.fold_difference_mm,
            armhole_girth_mm=self.now.armhole_girth_mm,
        )

    def _followed(self, name: str) -> dict[str, Following]:
        base, now = (_of(sleeve, name) for sleeve in (self.base, self.now))
        return {
            edge: Following(
                line=self.outline.edges[name][edge], base=marked(base, edge), now=marked(now, edge)
            )
            for edge in EDGES
        }

    def _ease_mm(self, seam: str) -> float:
        """How much longer the under sleeve's seam was than the top's when it was brought in."""
        top, under = (self.outline.edges[name][seam].length_mm for name in (TOP, UNDER))
        return under - top

    def _notches(self) -> list[tuple[str, float]]:
        """Name of each notch of the head, and its distance from the crown now, front above 0."""
        heads = {name: self.outline.edges[name]["head"] for name in (TOP, UNDER)}
        crown_mm = heads[TOP].marks[0] * heads[TOP].length_mm
        lengths = {name: head.length_mm for name, head in heads.items()}
        then, now = _from_crown(self.base), _from_crown(self.now)
        return [
            (
                notch.name,
                _signed(notch, lengths, crown_mm)
                + (
                    now[notch.name] - then[notch.name]
                    if notch.name in then and notch.name in now
                    else self.shift_mm
                ),
            )
            for notch in self.outline.notches
        ]

    def _notch(
        self, notch: tuple[str, float], heads: dict[str, Path], crown_mm: float
    ) -> tuple[str, Notch]:
        """The piece a notch lies on now, and the notch."""
        name, ahead_mm = notch
        length, at_mm, piece = heads[TOP].length_mm, crown_mm + ahead_mm, TOP
        if not -_ON_SEAM_MM <= at_mm <= length + _ON_SEAM_MM:
            piece = UNDER
            past = at_mm - length
            at_mm = heads[UNDER].length_mm - past if past > 0.0 else -at_mm
        head = heads[piece]
        place = head.place_at(at_mm)
        way = head.tangent(place)
        inward = np.array([-way[1], way[0]])
        return piece, Notch(name=name, edge="head", point_mm=head.point(place), inward=inward)


def _of(sleeve: TwoPiece, name: str) -> Piece:
    return sleeve.top if name == TOP else sleeve.under


def _crown_mm(head: Following) -> float:
    """Distance from the hindarm along the head as it is now to its crown."""
    crown = head.points(np.array(head.line.marks))[0]
    now = Marked.at(head.path())
    return now.nearest(crown) * now.length_mm


def _from_crown(sleeve: TwoPiece) -> dict[str, float]:
    """Distance (mm) of each notch of a drafted head from its crown, in front above 0."""
    heads = {name: marked(_of(sleeve, name), "head") for name in (TOP, UNDER)}
    crown_mm = heads[TOP].marks[0] * heads[TOP].length_mm
    lengths = {name: head.length_mm for name, head in heads.items()}
    return {
        one.name: _signed(
            HeadNotch(name=one.name, piece=name, share=heads[name].nearest(one.point_mm)),
            lengths,
            crown_mm,
        )
        for name in (TOP, UNDER)
        for one in _of(sleeve, name).notches
        if one.edge == "head"
    }


def _signed(notch: HeadNotch, lengths_mm: dict[str, float], crown_mm: float) -> float:
    """A notch's distance from the crown along the whole head, the shorter way, front above 0."""
    at_mm = notch.share * lengths_mm[notch.piece]
    if notch.piece == TOP:
        return at_mm - crown_mm
    ahead = lengths_mm[TOP] - crown_mm + lengths_mm[UNDER] - at_mm
    behind = crown_mm + at_mm
    return ahead if ahead <= behind else -behind


def _piece(name: str, edges: dict[str, Following], head_notches: list[Notch]) -> Piece:
    points: dict[str, FloatArray] = {}
    for edge, following in edges.items():
        shares = np.array(following.line.marks)
        found = following.points(shares) if len(shares) else ()
        points |= dict(zip(mark_names(name, edge), found, strict=True))
    paths = {edge: following.path() for edge, following in edges.items()}
    for seam in SEAMS:
        points |= {f"{seam} top": paths[seam].start_mm, f"{seam} cuff": paths[seam].end_mm}
    across = points["forearm elbow"] - points["hindarm elbow"]
    inward = across / np.hypot(*across)
    elbows = [
        Notch(name="elbow", edge=seam, point_mm=points[f"{seam} elbow"], inward=way)
        for seam, way in (("hindarm", inward), ("forearm", -inward))
    ]
    return Piece(
        name=name,
        head=paths["head"],
        hindarm=paths["hindarm"],
        cuff=paths["cuff"],
        forearm=paths["forearm"],
        points_mm=points,
        notches=(*head_notches, *elbows),
        grain=_grain(points),
    )


def _grain(points: dict[str, FloatArray]) -> Path:
    """Plumb from the middle of the biceps line toward the elbow."""
    top, elbow = ((points[f"forearm {at}"] + points[f"hindarm {at}"]) / 2 for at in MARKS)
    return line("grain", top, np.array([top[0], top[1] + _GRAIN_SHARE * (elbow - top)[1]]))
