"""How the fitting page shows amounts: without a sign, since the words say which way."""

from django import template

from fittings.units import format_length

register = template.Library()


@register.filter
def size(value_mm: float | None, unit: str) -> str:
    """`{{ work.shift_mm|size:unit }}`: an amount in the reader's unit; a dash for none.

    Centimetres to the half millimetre: 2.5 mm of seam is 0.25 cm, not 0.2.
    """
    if not value_mm:
        return "–"
    halves = round(abs(value_mm) * 2)
    if unit == "cm" and halves % 2:
        return f"{halves / 20:.2f} cm"
    return format_length(abs(value_mm), unit)


@register.filter
def size_or_none(value_mm: float, unit: str) -> str:
    """`{{ need.left_mm|size_or_none:unit }}`: the same where nought is an answer: 'nothing'."""
    return size(value_mm, unit) if value_mm else "nothing"


@register.filter
def degrees(value: float) -> str:
    """`{{ work.angle_deg|degrees }}`: 5.7°, without a sign."""
    return f"{abs(value):.1f}".removesuffix(".0") + "°"


@register.filter
def unlocalised(value_mm: float) -> str:
    """An amount as a form sends it: a point for the tenths, whatever the language."""
    return f"{value_mm:g}"
