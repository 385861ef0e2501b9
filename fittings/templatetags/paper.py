"""What a printed ticket says of words that are not its own."""

from django import template

from fittings.paper import words

register = template.Library()


@register.filter
def as_written(typed: str) -> str:
    """What somebody typed: on a paper in another language it says that it is so."""
    return words.as_written(typed)


@register.filter
def said(sentence: str, unit: str) -> str:
    """`{{ sentence|said:unit }}`: of the rules, in the language and the unit of the paper."""
    return words.say_each(sentence, unit)
