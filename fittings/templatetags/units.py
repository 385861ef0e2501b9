"""Sentences of the rules in the unit of whoever reads them."""

from typing import Any

from django import template

from fittings import units

register = template.Library()


@register.filter
def in_units(sentence: Any, unit: str) -> str:
    """`{{ reason|in_units:user.units }}`: what the rules say in mm; nobody signed in reads mm."""
    return units.in_units(str(sentence), unit or "mm")
