"""How the fitting page shows amounts: without a sign, since the words say which way."""

from django import template

from fittings.units import format_length

register = template.Library()


@register.filter
def size(value_mm: float | None, unit: str) -> str:
    """`{{ work.shift_mm|size:unit }}`: an amount in the reader's unit; a dash for none."""
    return format_length(abs(value_mm), unit) if value_mm else "–"


@register.filter
def degrees(value: float) -> str:
    """`{{ work.angle_deg|degrees }}`: 5.7°, without a sign."""
    return f"{abs(value):.1f}".removesuffix(".0") + "°"
