"""A photograph taken in: from the bytes that a device sends to what is kept of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from hashlib import sha256
from io import BytesIO
from typing import Final

from PIL import Image

from fittings.refusals import Refused
from patterns.bringing.brought import NotBroughtIn
from patterns.bringing.pixels import jpeg, pixels

FORMATS: Final = ("JPEG", "PNG", "WEBP", "HEIF")
LONGEST_PX: Final = 2048
THUMB_PX: Final = 400
_QUALITY: Final = 88
_THUMB_QUALITY: Final = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A photograph as it is kept: two JPEG files without metadata, and the master's size in px."""

    master: bytes
    thumb: bytes
    width: int
    height: int

    @property
    def sha256(self) -> str:
        return digest(self.master)


def digest(data: bytes) -> str:
    return sha256(data).hexdigest()


def check_size(count: int, most: int) -> None:
    """Refuse (Refused) a file of `count` bytes where `most` are taken, before it is read."""
    if count > most:
        raise Refused(
            f"The photograph holds {count / 1e6:.0f} million bytes and at most {most / 1e6:.0f} "
            "are taken: take it with a smaller setting."
        )
    if count == 0:
        raise Refused("The file is empty: take the photograph once more.")


def taken_in(data: bytes) -> Taken:
    """A JPEG, PNG, WebP or HEIC photograph, upright and bare. Refuses (Refused) in a sentence."""
    try:
        image = pixels(data, formats=FORMATS, longest=LONGEST_PX)
    except NotBroughtIn as refused:
        raise Refused(str(refused)) from None
    return _both(image)


def as_kept(master: bytes) -> Taken:
    """A clean JPEG of our own making, kept as it is, with its thumbnail."""
    with Image.open(BytesIO(master), formats=["JPEG"]) as image:
        image.load()
        taken = _both(image)
    return replace(taken, master=master)


def turned(master: bytes) -> Taken:
    """The photograph turned by a quarter: what was its top edge is now at its right."""
    with Image.open(BytesIO(master), formats=["JPEG"]) as image:
        return _both(image.transpose(Image.Transpose.ROTATE_270))


def _both(image: Image.Image) -> Taken:
    small = image.copy()
    small.thumbnail((THUMB_PX, THUMB_PX), Image.Resampling.LANCZOS)
    return Taken(
        master=jpeg(image, quality=_QUALITY),
        thumb=jpeg(small, quality=_THUMB_QUALITY),
        width=image.width,
        height=image.height,
    )
