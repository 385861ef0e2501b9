"""What templates need: the shop's name, the menu of whoever is signed in, lengths in their unit."""

from dataclasses import dataclass
from typing import Any, Final

from django import template
from django.conf import settings
from django.shortcuts import resolve_url
from django.template import Context
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from fittings.units import format_both, format_length

register = template.Library()

# address name, words, and the beginnings of the address names that belong under it
CUSTOMERS: Final = ("customer", "figure-note", "measures", "carriage", "health", "what-is", "keep-")
MENU: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    ("today", "Today", ("today",)),
    ("diary", "Diary", ("diary", "plan")),
    ("customer-list", "Customers", CUSTOMERS),
    ("order-list", "Orders", ("order", "fitting")),
    ("bench", "Bench", ("bench", "times", "maker", "print-run", "question")),
    ("ticket-list", "Tickets", ("ticket",)),
    ("pattern-list", "Patterns", ("pattern",)),
    ("glance", "The shop", ("glance", "shop-")),
    ("staff-list", "Staff", ("staff", "trail")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuEntry:
    address: str
    words: str
    here: bool


@register.simple_tag
def posts(to: str, *args: Any, into: str) -> SafeString:
    """`<form {% posts 'fitting-undo' fitting.pk into='room' %}>`: posts to that page, or address;
    with script its answer takes the place of the part with that id."""
    return format_html(
        'method="post" action="{0}" hx-post="{0}" hx-target="#{1}" hx-swap="outerHTML settle:0ms"',
        resolve_url(to, *args),
        into,
    )


@register.simple_tag
def shop_name() -> str:
    return str(settings.SHOP_NAME)


@register.simple_tag(takes_context=True)
def menu(context: Context) -> list[MenuEntry]:
    """The entries that whoever is signed in may open."""
    may: Any = context.get("may")
    if may is None:
        return []
    match = getattr(context.get("request"), "resolver_match", None)
    here = (match.url_name or "") if match else ""
    return [
        MenuEntry(address=reverse(name), words=words, here=here.startswith(beginnings))
        for name, words, beginnings in MENU
        if may[name]
    ]


@register.filter
def length(value: Any, unit: str | None = None) -> str | int:
    """`{{ mm|length:user.units }}`; without a unit it counts, as Django's own filter does."""
    if unit is None:
        return len(value)
    return "–" if value is None or value == "" else format_length(value, unit)


@register.filter
def length_both(value: Any, unit: str) -> str:
    """`{{ mm|length_both:user.units }}`: metric and inches, for paper."""
    return "–" if value is None or value == "" else format_both(value, unit)


@register.filter
def directed(value: Any, ways: str) -> str:
    """`{{ deg|directed:"forward of the hip,behind the hip" }}`: an angle with its way in words."""
    if value is None:
        return "–"
    if not value:
        return "straight"
    above, below = ways.split(",")
    return f"{float(abs(value)):g}° {above if value > 0 else below}"


@register.filter
def degrees(value: Any) -> str:
    return "–" if value is None else f"{float(value):g}°"
