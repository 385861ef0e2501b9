"""A photograph taken in: bounded before it is decoded, turned upright, and written anew.

Only what is seen is kept: place, time, device and all else that a camera writes is left behind.
"""

from __future__ import annotations

import secrets
import warnings
from dataclasses import dataclass
from io import BytesIO
from typing import Final

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

from patterns.bringing.brought import NotBroughtIn

MOST_BYTES: Final = 30_000_000
MOST_PIXELS: Final = 50_000_000
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
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _rewritten(data)
    except NotBroughtIn:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise NotBroughtIn(_too_large()) from None
    except UnidentifiedImageError:
        raise NotBroughtIn(
            "This is no JPEG or PNG picture; save the photograph as JPEG and choose it again."
        ) from None
    except (OSError, SyntaxError, ValueError, EOFError):
        raise NotBroughtIn(
            "The picture cannot be read to its end; take or send it once more."
        ) from None


def _rewritten(data: bytes) -> Picture:
    with Image.open(BytesIO(data), formats=FORMATS) as image:
        if image.width * image.height > MOST_PIXELS:
            raise NotBroughtIn(_too_large())
        if min(image.size) < _LEAST:
            raise NotBroughtIn(
                f"The picture is only {image.width} by {image.height} pixels; take one with more."
            )
        image.draft("RGB", (_LONGEST, _LONGEST))
        # The library that makes our PDFs lets half a picture pass for the whole process.
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        image.load()
        upright = ImageOps.exif_transpose(image).convert("RGB")
        upright.thumbnail((_LONGEST, _LONGEST), Image.Resampling.LANCZOS)
        bare = Image.new("RGB", upright.size)
        bare.paste(upright)  # pixels only: nothing that came with them
        out = BytesIO()
        bare.save(out, "JPEG", quality=_QUALITY)
        return Picture(data=out.getvalue(), width=bare.width, height=bare.height)


def _too_large() -> str:
    return (
        f"The picture has more than {MOST_PIXELS // 1_000_000} million pixels; take it with a "
        "smaller setting."
    )


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


def _path(pattern: int, name: str) -> str:
    return f"patterns/{pattern}/{name}.jpg"
