"""Read the shop's settings from the environment; a bad value names the variable and the cure."""

import os
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

PREFIX = "TAILORSHOP_"


def text(name: str, default: str = "") -> str:
    return os.environ.get(PREFIX + name, default)


def switch(name: str, *, default: bool) -> bool:
    value = text(name, "1" if default else "0").strip().lower()
    if value in {"1", "yes", "on", "true"}:
        return True
    if value in {"0", "no", "off", "false", ""}:
        return False
    raise ImproperlyConfigured(f"{PREFIX}{name} is {value!r}: write 1 or 0.")


def words(name: str, default: str = "") -> list[str]:
    """A comma-separated list, blanks dropped."""
    return [word.strip() for word in text(name, default).split(",") if word.strip()]


def whole_number(name: str, default: int) -> int:
    value = text(name, str(default))
    try:
        return int(value)
    except ValueError:
        raise ImproperlyConfigured(f"{PREFIX}{name} is {value!r}: write a whole number.") from None


def one_of(name: str, choices: tuple[str, ...]) -> str:
    """One of the words; the first where nothing is said."""
    value = text(name, choices[0]).strip().lower()
    if value not in choices:
        raise ImproperlyConfigured(f"{PREFIX}{name} is {value!r}: write {' or '.join(choices)}.")
    return value


def folder(name: str, default: Path) -> Path:
    return Path(text(name) or default)
