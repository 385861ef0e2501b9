"""The sleeve that is printed in these tests, before and after it was let out and re-seamed."""

from typing import Any

from patterns.drawing.full_scale.cutting import Cloth
from patterns.drawing.full_scale.layers import Drawn
from patterns.drawing.full_scale.pieces import Heading, Side, drawings
from patterns.rules.pattern import SidePattern
from tests.factories import sides

HEADING = Heading(pattern="P-0001", version=2, dated="5 Jan 2026", old_version=1)
INLAYS = Cloth(
    inlays_mm={
        ("under sleeve", "hindarm"): 25.0,
        ("top sleeve", "head"): 10.0,
        ("top sleeve", "cuff"): 40.0,
        ("under sleeve", "cuff"): 40.0,
    }
)


def before() -> SidePattern:
    return SidePattern.read(sides()["left"])


def after(**changes: Any) -> SidePattern:
    """Hindarm out, forearm in, let out by 6 mm a piece."""
    document = sides()["left"]
    document["sleeve"] |= {
        "girth_mm": {"biceps": 392, "elbow": 342, "cuff": 270},
        "hindarm_shift_mm": {"head": 20, "elbow": 20, "cuff": 8},
        "forearm_shift_mm": {"head": 15, "elbow": 15, "cuff": 15},
        **changes,
    }
    return SidePattern.read(document)


def drawn(*, cloth: Cloth = INLAYS, both: bool = False, old: bool = True) -> tuple[Drawn, ...]:
    was = before() if old else None
    names = ("left", "right") if both else ("right",)
    pieces = [Side(side=name, after=after(), before=was) for name in names]
    return drawings(pieces, HEADING, cloth)
