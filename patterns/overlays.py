"""What a page and a print show of two versions laid on each other; worked out once, for a version
never changes."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from patterns.drawing.full_scale.overlay import overlaid_drawings
from patterns.drawing.full_scale.paper import tiled_pdf
from patterns.drawing.full_scale.tiles import A4, Tiling
from patterns.drawing.overlay import overlay_plate
from patterns.geometry.overlay import Laid, Motion, lay
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.rules.overlaid import ArmholeTold, EdgeTold, armhole_told, told
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece

SIDES: Final = ("left", "right")
SCALE: Final = 1 / 4.5
LEAST_TURN_DEG: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class SideOverlay:
    """One side: the drawing, every edge in numbers, the armhole, how the old draft was moved.

    `refusal` is the sentence why there is none of it. `moved_alike`: pieces without their own
    points, moved as the other piece was.
    """

    side: str
    svg: str = ""
    edges: tuple[EdgeTold, ...] = ()
    armhole: ArmholeTold | None = None
    motion: Motion | None = None
    moved_alike: tuple[str, ...] = ()
    refusal: str = ""

    @property
    def turn(self) -> float:
        """Degrees the old draft was turned, without a sign; 0 where nobody would see it."""
        turn = abs(self.motion.turn_deg) if self.motion else 0.0
        return turn if turn >= LEAST_TURN_DEG else 0.0

    @property
    def turned_cuff(self) -> str:
        """Which way the turn took the old draft's cuff."""
        return "back" if self.motion and self.motion.turn_deg > 0 else "forward"

    @property
    def same(self) -> bool:
        return not self.refusal and all(edge.same for edge in self.edges)


def overlaid(
    old: PatternVersion, new: PatternVersion, on: tuple[str, ...]
) -> tuple[SideOverlay, ...]:
    """Wearer's left and right, as far as both versions have them."""
    return tuple(
        _side(side, _text(old, side), _text(new, side), on)
        for side in SIDES
        if side in old.sides and side in new.sides
    )


def _text(version: PatternVersion, side: str) -> str:
    return json.dumps(version.sides[side], sort_keys=True)


@lru_cache(maxsize=64)
def _side(side: str, old: str, new: str, on: tuple[str, ...]) -> SideOverlay:
    try:
        laid = _laid(old, new, on)
        before, after = (SidePattern.read(json.loads(text)).armhole for text in (old, new))
        return SideOverlay(
            side=side,
            svg=overlay_plate(laid, side=side, scale=SCALE, on=on),
            edges=told(laid),
            armhole=armhole_told(before, after),
            motion=next(piece.motion for piece in laid if piece.on_own),
            moved_alike=tuple(piece.new.name for piece in laid if not piece.on_own),
        )
    except GeometryRefused as refused:
        return SideOverlay(side=side, refusal=str(refused))


def _laid(old: str, new: str, on: tuple[str, ...]) -> tuple[Laid, Laid]:
    before, after = (two_piece(SidePattern.read(json.loads(text))) for text in (old, new))
    return lay(before, after, on)


def overlay_pdf(old: PatternVersion, new: PatternVersion, on: tuple[str, ...]) -> bytes:
    """Both sides at true size on A4 pages, net lines. Refuses GeometryRefused."""
    title = f"{new} over {old}"
    drawn = [
        one
        for side in SIDES
        for one in overlaid_drawings(
            _laid(_text(old, side), _text(new, side), on), side=side, told_of=(str(new), str(old))
        )
    ]
    said = (str(new), f"old line: {old}", f"laid on: {', '.join(on) or 'as drafted'}")
    return tiled_pdf(
        Tiling.fewest(drawn, A4), said, title=title, with_old_line=True, with_cut_line=False
    )
