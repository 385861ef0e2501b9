"""One check of a drafted sleeve, with the sentence a cutter reads beside it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """What was looked at and whether it holds.

    `id` is stable. `sentence` says what was found, and where it fails what to do instead.
    `measured_mm` is what was found (above zero: too long, wide, far forward), `allowed_mm` how much
    of it is let pass; both None where the check is no length.
    """

    id: str
    what: str
    passed: bool
    sentence: str
    measured_mm: float | None = None
    allowed_mm: float | None = None


def mm(value: float) -> str:
    """An amount without its sign, to a tenth: '2.5 mm'."""
    return f"{abs(value):.1f} mm"
