"""What the geometry will not do; every refusal is a sentence that says what to do instead."""


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


_LARGEST, _SMALLEST = 1e9, 1e-9  # beyond these the unit is wrong, not the coat


def checked_number(value: float, what: str) -> float:
    """Return the value, or refuse one that is not a number or out of all reason (BadMeasure)."""
    if not abs(value) <= _LARGEST:
        raise BadMeasure(f"The {what} is not a number to work with; measure it again.")
    return float(value)


def checked_positive(value: float, what: str) -> float:
    """Return the value, or refuse one that is not above zero (BadMeasure)."""
    if checked_number(value, what) < _SMALLEST:
        raise BadMeasure(f"The {what} must be more than 0, not {value:g}; measure it again.")
    return float(value)


def checked_girth(girth_mm: float, what: str = "girth") -> float:
    """Return a girth in mm, or refuse one that cannot go round anything (NoGirth)."""
    if not _SMALLEST <= girth_mm <= _LARGEST:
        raise NoGirth(f"The {what} must be more than 0 mm, not {girth_mm:g}; measure it again.")
    return float(girth_mm)
