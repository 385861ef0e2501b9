"""Drawings kept by what they are drawn from, so that the same sleeve is drawn once.

A pattern version never changes, so nothing here goes stale; the key holds a digest of the code
that draws, so a new release draws anew. The store may be emptied at any time.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from django.core.cache import caches

_CODE: Final = ("drawing", "geometry", "rules")


def kept(name: str, *inputs: Any, draw: Callable[[], list[str]]) -> list[str]:
    """What `draw` gives for these inputs (anything JSON holds), drawn now or once before.

    What `draw` refuses is refused each time. A store that cannot be read or written is done
    without.
    """
    said = json.dumps([_code(), name, *inputs], sort_keys=True)
    key = sha256(said.encode()).hexdigest()
    found: list[str] | None = None
    with suppress(OSError):
        found = caches["drawings"].get(key)
    if found is None:
        found = draw()
        with suppress(OSError):
            caches["drawings"].set(key, found)
    return found


@cache
def _code() -> str:
    """A digest of the code that draws."""
    here, digest = Path(__file__).parent, sha256()
    for folder in _CODE:
        for path in sorted((here / folder).rglob("*.py")):
            digest.update(path.read_bytes())
    digest.update((here / "shown.py").read_bytes())
    return digest.hexdigest()
