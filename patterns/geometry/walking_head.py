"""Walking the head of a drafted sleeve round the armhole it is sewn into."""

from collections.abc import Iterator, Mapping
from math import degrees

import numpy as np

from patterns.geometry.arclength import FloatArray
from patterns.geometry.armhole import Armhole, Quarter
from patterns.geometry.check import Check, mm
from patterns.geometry.draft import TwoPiece
from patterns.geometry.path import Path
from patterns.geometry.piece import Piece
from patterns.geometry.sleeve import Sleeve
from patterns.geometry.walking_seams import SEAMS, distance_mm

# A drafted head shorter than the armhole + 10 mm or longer than the armhole + 12 % should warn:
# sanity across three handbook rules (calculated). Crown ease is what the trade counts (6 to 9 % for
# ordinary wool, trade practice), so it is held to over the crown, from pitch to pitch.
LEAST_EASE_MM = 10.0
MOST_EASE = 0.12
SHORT_MM = 2.0
UNDER_EASE = 0.05  # of its part of the armhole; told, not refused; trade practice, no source
SMOOTH_DEG = 8.0
QUARTER_MM = 3.0  # shop habit: what making can be out by; trade practice, no source
NOTCHES = ("front pitch", "crown", "back pitch")


def section_checks(pieces: TwoPiece, armhole: Armhole) -> Iterator[Check]:
    """The head against the armhole: over the crown as a whole, and from notch to notch."""
    places = notch_places_mm(pieces)
    if missing := [name for name in NOTCHES if name not in places]:
        yield Check(
            id="head-notches",
            what="notches of the head",
            passed=False,
            sentence=f"Notches missing on the edge of the head: {'; '.join(missing)}. Mark "
            "them, or nobody can set the sleeve.",
        )
        return
    head, hole = _between(places, pieces.head_length_mm), _between_marks(armhole)
    ease = {part: head[part] - hole[part] for part in head}
    yield _over_crown(ease["front"] + ease["back"], pieces.head_ease_mm, armhole.girth_mm)
    yield _section("front", "front pitch to crown", ease["front"], hole["front"])
    yield _section("back", "crown to back pitch", ease["back"], hole["back"])
    yield _section("under", "under the arm, pitch to pitch", ease["under"], hole["under"])


def notch_places_mm(pieces: TwoPiece) -> dict[str, float]:
    """Distance of each head notch from the hindarm over the crown, and on along the under."""
    places: dict[str, float] = {}
    for piece in (pieces.top, pieces.under):
        for notch in piece.notches:
            along = distance_mm(piece.head, notch.point_mm) if notch.edge == "head" else None
            if along is not None:
                far = pieces.head_length_mm - along
                places[notch.name] = along if piece is pieces.top else far
    return places


def _between(places: Mapping[str, float], whole_mm: float) -> dict[str, float]:
    front, crown, back = (places[name] for name in NOTCHES)
    return {
        "front": (front - crown) % whole_mm,
        "back": (crown - back) % whole_mm,
        "under": (back - front) % whole_mm,
    }


def _between_marks(armhole: Armhole) -> dict[str, float]:
    front, crown, back = armhole.front_pitch_s_mm, armhole.crown_s_mm, armhole.back_pitch_s_mm
    under = armhole.girth_mm - (back - front)
    return {"front": crown - front, "back": back - crown, "under": under}


def _over_crown(ease_mm: float, whole_mm: float, girth_mm: float) -> Check:
    most = MOST_EASE * girth_mm
    passed = LEAST_EASE_MM <= ease_mm <= most
    sentence = (
        f"From pitch to pitch over the crown the head has {mm(ease_mm)} of ease, "
        f"{ease_mm / girth_mm:.1%} of the armhole; the whole head has {mm(whole_mm)}."
    )
    if ease_mm < LEAST_EASE_MM:
        has = f"only {mm(ease_mm)} of ease" if ease_mm >= 0 else f"{mm(ease_mm)} too little cloth"
        sentence = (
            f"From pitch to pitch over the crown the head has {has}, where {LEAST_EASE_MM:.0f} mm "
            "are the least: raise the crown, or let the head out."
        )
    elif not passed:
        sentence = (
            f"From pitch to pitch over the crown the head has {mm(ease_mm)} of ease, "
            f"{ease_mm / girth_mm:.1%} of the armhole, more than the {MOST_EASE:.0%} that can be "
            "shrunk in: lower the crown, or reduce the ease of the head."
        )
    return Check(
        id="head-ease",
        what="head against armhole, over the crown",
        passed=passed,
        sentence=sentence,
        measured_mm=ease_mm,
        allowed_mm=most,
    )


_LONGER = {
    "front": "give the front of the head more round, or set the crown notch further back",
    "back": "give the back of the head more round, or set the crown notch further forward",
    "under": "hollow the under sleeve's head deeper, or widen it",
}


def _section(part: str, words: str, ease_mm: float, hole_mm: float) -> Check:
    passed = ease_mm >= -SHORT_MM
    sentence = f"{mm(ease_mm)} of ease on {hole_mm:.0f} mm of armhole."
    if not passed:
        sentence = (
            f"The head is {mm(ease_mm)} shorter than its {hole_mm:.0f} mm of armhole, which would "
            f"pucker: {_LONGER[part]}."
        )
    elif part == "under" and ease_mm > UNDER_EASE * hole_mm:
        sentence += " That is more than is usual under the arm: look at it before cutting."
    elif ease_mm < 0:
        sentence = f"{mm(ease_mm)} short on {hole_mm:.0f} mm of armhole: stretch the edge to it."
    return Check(
        id=f"head-{part}",
        what=f"head against armhole, {words}",
        passed=passed,
        sentence=sentence,
        measured_mm=ease_mm,
        allowed_mm=SHORT_MM,
    )


def smooth_checks(pieces: TwoPiece) -> Iterator[Check]:
    """Head and cuff run on without a point where the seams are sewn, and under the arm."""
    for end in ("head", "cuff"):
        for seam in SEAMS:
            both = _corner_deg(pieces.top, seam, end) + _corner_deg(pieces.under, seam, end)
            yield _smooth_seam(seam, end, both - 180.0)
    yield _underarm(_sharpest_deg(pieces.under.head))


def _corner_deg(piece: Piece, seam: str, end: str) -> float:
    """Angle of the cloth between a seam and the head or the cuff."""
    edge, across = getattr(piece, seam), getattr(piece, end)
    along = edge.tangent(0.0) if end == "head" else -edge.tangent(float(len(edge.spans_mm)))
    starts = seam == "hindarm"
    way = across.tangent(0.0) if starts else -across.tangent(float(len(across.spans_mm)))
    return degrees(float(np.arctan2(abs(_cross(along, way)), along @ way)))


def _cross(a: FloatArray, b: FloatArray) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def _smooth_seam(seam: str, end: str, over_deg: float) -> Check:
    passed = abs(over_deg) <= SMOOTH_DEG
    sentence = f"Sewn, the {end} runs over the {seam} seam within {abs(over_deg):.0f} degrees."
    if not passed:
        shape, act = ("a point", "Round it off") if over_deg < 0 else ("a dent", "Fill it up")
        sentence = (
            f"Sewn, the {end} makes {shape} of {abs(over_deg):.0f} degrees at the {seam} seam. "
            f"{act} with both pieces laid seam to seam."
        )
    return Check(
        id=f"{end}-at-{seam}",
        what=f"{end} line over the {seam} seam",
        passed=passed,
        sentence=sentence,
    )


def _sharpest_deg(line: Path) -> float:
    """The greatest turn of a line at a joint of its spans, degrees."""
    steps = line.spans_mm[:, 1:] - line.spans_mm[:, :-1]
    ends, starts = steps[:-1, -1], steps[1:, 0]
    cross = ends[:, 0] * starts[:, 1] - ends[:, 1] * starts[:, 0]
    turns = np.arctan2(np.abs(cross), (ends * starts).sum(axis=1))
    return degrees(float(turns.max(initial=0.0)))


def _underarm(turn_deg: float) -> Check:
    passed = turn_deg <= SMOOTH_DEG
    sentence = "The under sleeve's head is hollowed without a corner."
    if not passed:
        sentence = (
            f"The under sleeve's head has a corner of {turn_deg:.0f} degrees under the arm: draw "
            "the hollow again in one sweep."
        )
    return Check(
        id="underarm", what="hollow of the under sleeve's head", passed=passed, sentence=sentence
    )


def quarter_checks(armhole: Armhole, sleeve: Sleeve) -> Iterator[Check]:
    """Each seam stands in its own quarter of the armhole, up to what making can be out by."""
    seat = armhole.seat(
        sleeve.notch_shift_mm, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
    )
    back, front = Quarter.UPPER_BACK, Quarter.LOWER_FRONT
    yield _quarter(armhole, "hindarm", back, seat.back_quarter, seat.back_s_mm)
    yield _quarter(armhole, "forearm", front, seat.front_quarter, seat.front_s_mm)


def _quarter(armhole: Armhole, seam: str, own: Quarter, found: Quarter, s_mm: float) -> Check:
    past_mm = 0.0 if found is own else armhole.to_quarter_mm(s_mm)
    passed = past_mm <= QUARTER_MM
    sentence = f"The {seam} seam stands in the {own} quarter of the armhole."
    if not passed:
        sentence = (
            f"The {seam} seam stands in the {found} quarter of the armhole, {mm(past_mm)} out of "
            f"the {own} quarter: recut the sleeve instead of turning it so far."
        )
    elif past_mm > 0.0:
        sentence = f"The {seam} seam stands {mm(past_mm)} past the {own} quarter: as good as in it."
    return Check(
        id=f"{seam}-quarter",
        what=f"{seam} seam on the armhole",
        passed=passed,
        sentence=sentence,
        measured_mm=past_mm,
        allowed_mm=QUARTER_MM,
    )
