"""What the fitting page needs of the template language: amounts without a sign, since the words
say which way, and parts that are drawn once."""

from __future__ import annotations

from typing import Any

from django import template
from django.template.base import FilterExpression, NodeList, Parser, Token

from fittings.forms.drawn_once import whole
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


class DrawnOnceNode(template.Node):
    def __init__(
        self, looks: FilterExpression, values: list[FilterExpression], nodelist: NodeList
    ) -> None:
        self.looks, self.values, self.nodelist = looks, values, nodelist

    def render(self, context: Any) -> str:
        looks = self.looks.resolve(context)
        if looks is None:
            return self.nodelist.render(context)
        values = [str(context["csrf_token"])]
        for one in self.values:
            value = one.resolve(context)
            values += value if isinstance(value, list) else [str(value)]
        return whole(looks, values, lambda: self.nodelist.render(context))


@register.tag
def drawnonce(parser: Parser, token: Token) -> DrawnOnceNode:
    """`{% drawnonce looks value value %}...{% enddrawnonce %}`: see `forms.drawn_once.whole`; looks
    None: drawn anew. The token against forged forms is a value of its own accord."""
    looks, *values = map(parser.compile_filter, token.split_contents()[1:])
    nodelist = parser.parse(("enddrawnonce",))
    parser.delete_first_token()
    return DrawnOnceNode(looks, values, nodelist)
