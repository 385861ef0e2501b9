"""What the geometry will not do; every refusal is a sentence that says what to do instead."""

import math


class GeometryRefused(ValueError):
    """The measures cannot be drawn; the text says why and what to do instead."""


class NoGirth(GeometryRefused):
    """A girth, an outline or a tube without size."""


class SelfCrossing(GeometryRefused):
    """An outline that runs over itself."""


class PitchesDoNotFit(GeometryRefused):
    """Pitches that no armhole of the given girth can hold."""


class SleeveWiderThanHead(GeometryRefused):
    """A biceps girth larger than the head line it should be cut with."""


class SeamOutOfQuarter(GeometryRefused):
    """A seam that would leave the quarter in which it belongs."""


class NotchPastEnd(GeometryRefused):
    """A notch moved past the end of its seam."""


class BadPoints(GeometryRefused):
    """Points that are missing, not numbers, or too few."""


class BadMeasure(GeometryRefused):
    """A single measure that is missing, not a number, or out of all reason."""


def checked_number(value: float, what: str) -> float:
    """Return the value, or refuse one that is not a finite number (BadMeasure)."""
    if not math.isfinite(value):
        raise BadMeasure(f"The {what} is not a number; measure it again.")
    return float(value)


def checked_positive(value: float, what: str) -> float:
    """Return the value, or refuse one that is not above zero (BadMeasure)."""
    if checked_number(value, what) <= 0.0:
        raise BadMeasure(f"The {what} must be more than 0, not {value:g}; measure it again.")
    return float(value)


def checked_girth(girth_mm: float, what: str = "girth") -> float:
    """Return a girth in mm, or refuse one that cannot go round anything (NoGirth)."""
    if not math.isfinite(girth_mm) or girth_mm <= 0.0:
        raise NoGirth(f"The {what} must be more than 0 mm, not {girth_mm:g}; measure it again.")
    return float(girth_mm)
