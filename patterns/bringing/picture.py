"""A photograph taken in: bounded before it is decoded, turned upright, and written anew.

Only what is seen is kept: place, time, device and all else that a camera writes is left behind.
A picture is working material: it goes when its lines are handed on or it is left, with the customer
who may be named on the paper, and when nobody can come back to it.
"""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from patterns.bringing.brought import NotBroughtIn
from patterns.bringing.pixels import jpeg, pixels

MOST_BYTES: Final = 30_000_000
FORMATS: Final = ("JPEG", "PNG")
_LONGEST: Final = 4000  # px of a side as kept: 0.3 mm on a paper 1.2 m long
_LEAST: Final = 300
_QUALITY: Final = 88


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photograph as it is kept: JPEG bytes, width and height in px."""

    data: bytes
    width: int
    height: int


def cleaned(data: bytes) -> Picture:
    """Refuses NotBroughtIn what is no JPEG or PNG, too large, too small, or cut off."""
    if len(data) > MOST_BYTES:
        raise NotBroughtIn(
            f"The picture holds {len(data) / 1e6:.0f} million bytes; take one of at most "
            f"{MOST_BYTES / 1e6:.0f}."
        )
    image = pixels(data, formats=FORMATS, longest=_LONGEST, least=_LEAST)
    written = jpeg(image, quality=_QUALITY)
    return Picture(data=written, width=image.width, height=image.height)


def store(pattern: int, picture: Picture) -> str:
    """Keep a picture under a random name; returns that name."""
    name = secrets.token_hex(16)
    default_storage.save(_path(pattern, name), ContentFile(picture.data))
    return name


def load(pattern: int, name: str) -> bytes | None:
    """The picture of that name, or None when there is none."""
    path = _path(pattern, name)
    if not name.isalnum() or not default_storage.exists(path):
        return None
    with default_storage.open(path) as file:
        data: bytes = file.read()
        return data


def forget(pattern: int, name: str) -> None:
    default_storage.delete(_path(pattern, name))


def forget_all(patterns: Iterable[int]) -> None:
    """Delete every picture that somebody had under work for one of these patterns."""
    for pattern in patterns:
        for path in _under(str(pattern)):
            default_storage.delete(path)


def left_behind(now: dt.datetime, grace: dt.timedelta) -> list[str]:
    """Paths of pictures older than the grace, which is longer than anybody stays signed in."""
    paths = (path for pattern in _listed("")[0] for path in _under(pattern))
    return [path for path in paths if now - default_storage.get_modified_time(path) > grace]


def _under(pattern: str) -> Iterator[str]:
    for name in _listed(pattern)[1]:
        if name.endswith(".jpg"):
            yield f"patterns/{pattern}/{name}"


def _listed(folder: str) -> tuple[list[str], list[str]]:
    """Folders and files below patterns/ and the folder; none where there is no such folder."""
    try:
        return default_storage.listdir(f"patterns/{folder}".rstrip("/"))
    except FileNotFoundError:
        return [], []


def _path(pattern: int, name: str) -> str:
    return f"patterns/{pattern}/{name}.jpg"
