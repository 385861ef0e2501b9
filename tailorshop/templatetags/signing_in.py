"""What the pages of signing in say of a device."""

from typing import Final

from django import template

register = template.Library()

# The order decides: each browser names the ones it descends from.
BROWSERS: Final = (
    ("Edg/", "Edge"),
    ("OPR/", "Opera"),
    ("Firefox/", "Firefox"),
    ("FxiOS/", "Firefox"),
    ("Chrome/", "Chrome"),
    ("CriOS/", "Chrome"),
    ("Safari/", "Safari"),
)
SYSTEMS: Final = (
    ("iPad", "iPad"),
    ("iPhone", "iPhone"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Macintosh", "Mac"),
    ("Linux", "Linux"),
)


@register.filter
def device(user_agent: str) -> str:
    """`Firefox on Windows`, from what a browser says of itself."""
    browser = next((words for mark, words in BROWSERS if mark in user_agent), "A browser")
    system = next((words for mark, words in SYSTEMS if mark in user_agent), "an unknown device")
    return f"{browser} on {system}"
