"""How the pattern history speaks, in the unit of whoever reads it."""

from django import template

from fittings.models import GarmentOnly
from fittings.pattern_history.garment_only import said

register = template.Library()


@register.filter
def flag_said(flag: GarmentOnly, unit: str) -> str:
    return said(flag, unit)
