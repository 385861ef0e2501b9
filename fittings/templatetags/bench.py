"""What the bench's pages need: links that narrow the list, minutes as hours."""

from django import template
from django.template import Context

from fittings.bench.minutes import said

register = template.Library()


@register.simple_tag(takes_context=True)
def narrowed_to(context: Context, name: str, value: str) -> str:
    """This page with one filter set another way, from its first page on."""
    wanted = context["request"].GET.copy()
    wanted.pop("page", None)
    wanted.pop(name, None)
    if value:
        wanted[name] = value
    return f"?{wanted.urlencode()}"


@register.filter
def hours(minutes: int) -> str:
    return said(minutes)
