"""Walking the seams of a drafted sleeve: lengths, notches, widths, grain, and the outlines."""

from collections.abc import Iterator

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.check import Check, mm
from patterns.geometry.draft import TwoPiece
from patterns.geometry.path import Path
from patterns.geometry.piece import Piece
from patterns.geometry.section import twist_per_mm
from patterns.geometry.sleeve import LEVELS, Sleeve
from patterns.geometry.spline import crosses_itself
from patterns.geometry.tube import Section

SEAMS = ("hindarm", "forearm")
SEAM_MM = 1.0
GIRTH_MM = 0.5
GRAIN_MM = 2.0  # out of the straight at the end of the grain line; trade practice, no source
_ON_EDGE_MM = 0.5
_POINTS_A_SPAN = 8
_SAME_MM = 1e-6


def seam_checks(pieces: TwoPiece) -> Iterator[Check]:
    """Each seam walked from head to cuff, and from notch to notch."""
    for seam in SEAMS:
        ease_mm = getattr(pieces, f"{seam}_ease_mm")
        top, under = getattr(pieces.top, seam), getattr(pieces.under, seam)
        whole = under.length_mm - top.length_mm
        yield _whole_seam(seam, whole, ease_mm)
        downs = [elbow_down_mm(piece, seam) for piece in (pieces.top, pieces.under)]
        if downs[0] is None or downs[1] is None:
            yield _no_notch(seam)
            continue
        upper = downs[1] - downs[0]
        yield _part_of_seam(seam, "from head to elbow notch", upper, ease_mm)
        yield _part_of_seam(seam, "from elbow notch to cuff", whole - upper, ease_mm)


def elbow_down_mm(piece: Piece, seam: str) -> float | None:
    """Distance along a seam from the head to its elbow notch; None where no notch stands on it."""
    edge = getattr(piece, seam)
    for notch in piece.notches:
        if notch.edge == seam and notch.name == "elbow":
            return distance_mm(edge, notch.point_mm)
    return None


def distance_mm(edge: Path, point_mm: FloatArray) -> float | None:
    """Distance along an edge to a point on it; None for a point beside it."""
    place = edge.nearest(point_mm)
    if np.hypot(*(edge.point(place) - point_mm)) > _ON_EDGE_MM:
        return None
    return edge.distance_mm(place)


def _whole_seam(seam: str, longer_mm: float, ease_mm: float) -> Check:
    """The under sleeve's edge against the top sleeve's and the ease that is declared for it."""
    off_mm = longer_mm - ease_mm
    passed = abs(off_mm) <= SEAM_MM
    declared = f"{mm(ease_mm)} of ease" if abs(ease_mm) >= 0.05 else "no ease"
    sentence = f"The {seam} edges pair with {declared}, within {mm(off_mm)}."
    if not passed:
        piece, way = ("under", "Shorten") if off_mm > 0 else ("under", "Lengthen")
        sentence = (
            f"At the {seam} the {piece} sleeve's edge is {mm(off_mm)} too "
            f"{'long' if off_mm > 0 else 'short'} for the top sleeve's with {declared}. {way} it "
            "at the cuff and true the cuff, or draft the sleeve again."
        )
    return Check(
        id=f"{seam}-seam",
        what=f"{seam} seam, under sleeve against top sleeve",
        passed=passed,
        sentence=sentence,
        measured_mm=off_mm,
        allowed_mm=SEAM_MM,
    )


def _part_of_seam(seam: str, part: str, longer_mm: float, ease_mm: float) -> Check:
    """No part of a seam may take more than the whole seam's ease, nor go the other way."""
    low, high = min(0.0, ease_mm), max(0.0, ease_mm)
    off_mm = longer_mm - min(max(longer_mm, low), high)
    passed = abs(off_mm) <= SEAM_MM
    sentence = f"Top and under meet {part}, within {mm(off_mm)} of the ease."
    if not passed:
        sentence = (
            f"At the {seam}, {part}, the under sleeve is {mm(off_mm)} too "
            f"{'long' if off_mm > 0 else 'short'}: the elbow notches will not meet. Move the under "
            f"sleeve's elbow notch {mm(off_mm)} {_toward(part, off_mm)}."
        )
    return Check(
        id=f"{seam}-{'above' if part.startswith('from head') else 'below'}-elbow",
        what=f"{seam} seam {part}",
        passed=passed,
        sentence=sentence,
        measured_mm=off_mm,
        allowed_mm=SEAM_MM,
    )


def _toward(part: str, off_mm: float) -> str:
    return "up" if part.startswith("from head") == (off_mm > 0) else "down"


def _no_notch(seam: str) -> Check:
    return Check(
        id=f"{seam}-above-elbow",
        what=f"{seam} seam from head to elbow notch",
        passed=False,
        sentence=f"A piece has no elbow notch on its {seam} edge: mark it before the seam is sewn.",
    )


def girth_checks(pieces: TwoPiece, sleeve: Sleeve) -> Iterator[Check]:
    """Top and under together are the sleeve's girth at every level."""
    for level in LEVELS:
        both, girth = (
            pieces.top.width_mm(level) + pieces.under.width_mm(level),
            sleeve.girth_mm.at(level),
        )
        off_mm, passed = both - girth, abs(both - girth) <= GIRTH_MM
        name = "biceps line" if level == "head" else level
        sentence = f"Top and under together are {both:.0f} mm at the {name}, as the sleeve's girth."
        if not passed:
            sentence = (
                f"At the {name} top and under together are {mm(off_mm)} "
                f"{'wider' if off_mm > 0 else 'narrower'} than the sleeve's girth of {girth:.0f} "
                "mm: what one piece is given must be taken from the other."
            )
        yield Check(
            id=f"girth-{level}",
            what=f"top and under together at the {name}",
            passed=passed,
            sentence=sentence,
            measured_mm=off_mm,
            allowed_mm=GIRTH_MM,
        )


def twist_check(pieces: TwoPiece, sleeve: Sleeve) -> Check:
    """Hindarm less forearm must be the same on both pieces, or the sleeve spirals.

    Counted as sewn: the under sleeve's hindarm eased in, the top sleeve's forearm stretched.
    Sleeve geometry, section 3.
    """
    top, under = pieces.top, pieces.under
    d_top = top.hindarm.length_mm - top.forearm.length_mm - pieces.forearm_ease_mm
    d_under = under.hindarm.length_mm - pieces.hindarm_ease_mm - under.forearm.length_mm
    off_mm, section = d_under - d_top, Section(girth_mm=sleeve.girth_mm.elbow)
    down_mm = sleeve.length_mm - sleeve.crown_height_mm
    turn_deg = twist_per_mm(d_top, d_under, section) * down_mm
    passed = abs(off_mm) <= SEAM_MM
    sentence = f"Both pieces bend alike: the sleeve does not spiral ({abs(turn_deg):.1f} degrees)."
    if not passed:
        sentence = (
            f"Hindarm less forearm differs by {mm(off_mm)} between top and under: the sleeve would "
            f"spiral by {abs(turn_deg):.1f} degrees down to the cuff. Draft both pieces again with "
            "the same bend."
        )
    return Check(
        id="twist",
        what="bend of the top sleeve against bend of the under sleeve",
        passed=passed,
        sentence=sentence,
        measured_mm=off_mm,
        allowed_mm=SEAM_MM,
    )


def grain_check(piece: Piece) -> Check:
    """The grain line runs with the straight of the sleeve above the elbow."""
    run = sum(getattr(piece, seam).tangent(1.0) for seam in SEAMS)
    grain = piece.grain.end_mm - piece.grain.start_mm
    off_mm = float(grain[0] * run[1] - grain[1] * run[0]) / float(np.hypot(*run))
    passed = abs(off_mm) <= GRAIN_MM
    sentence = "The grain line runs straight down the sleeve above the elbow."
    if not passed:
        sentence = (
            f"The grain line of the {piece.name} runs {mm(off_mm)} to the "
            f"{'front' if off_mm > 0 else 'back'} at its lower end: lay it along the straight of "
            "the sleeve above the elbow."
        )
    return Check(
        id=f"{_short(piece)}-grain",
        what=f"grain line of the {piece.name}",
        passed=passed,
        sentence=sentence,
        measured_mm=off_mm,
        allowed_mm=GRAIN_MM,
    )


def outline_check(piece: Piece) -> Check:
    """No edge of a piece runs over another."""
    points = piece.outline().polyline(_POINTS_A_SPAN)[:-1]
    step = points - np.roll(points, 1, axis=0)
    passed = not crosses_itself(points[np.hypot(step[:, 0], step[:, 1]) > _SAME_MM])
    sentence = f"The outline of the {piece.name} runs once round."
    if not passed:
        sentence = (
            f"The outline of the {piece.name} runs over itself and cannot be cut: take the last "
            "correction back, or do less of it."
        )
    return Check(
        id=f"{_short(piece)}-outline",
        what=f"outline of the {piece.name}",
        passed=passed,
        sentence=sentence,
    )


def _short(piece: Piece) -> str:
    return piece.name.split()[0]
