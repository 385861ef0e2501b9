"""The pixels of a picture file nobody vouches for: bounded before it is decoded, upright, bare.

Place, time, device and all else that a camera writes beside the pixels is left behind.
"""

from __future__ import annotations

import struct
import warnings
import zlib
from io import BytesIO
from typing import Final

import pillow_heif
from PIL import Image, ImageCms, ImageFile, ImageOps, UnidentifiedImageError

from patterns.bringing.brought import NotBroughtIn

MOST_PIXELS: Final = 50_000_000
# Formats that may hold a film. A JPEG or HEIC of several pictures is one photograph with extras.
_FILMS: Final = frozenset({"PNG", "WEBP"})
# What the readers raise over a file that is cut off or was never what it says.
_BROKEN: Final = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    RuntimeError,
    IndexError,
    struct.error,
    zlib.error,
)
_SRGB: Final = ImageCms.createProfile("sRGB")

pillow_heif.register_heif_opener(thumbnails=False)


def pixels(data: bytes, *, formats: tuple[str, ...], longest: int, least: int = 1) -> Image.Image:
    """RGB pixels in sRGB, upright, on white, at most `longest` px a side and at least `least`.

    `formats` are the names of Pillow's readers: what a file is called or claims to be says nothing.
    Refuses NotBroughtIn, in a sentence, what is none of them, moves, is too large, or is cut off.
    """
    names = _either(formats)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _upright(data, formats, longest, least)
    except NotBroughtIn:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise NotBroughtIn(_too_large()) from None
    except UnidentifiedImageError:
        raise NotBroughtIn(
            f"This is no {names} picture; save the photograph as JPEG and choose it again."
        ) from None
    except _BROKEN:
        raise NotBroughtIn(
            "The picture cannot be read to its end; take or send it once more."
        ) from None


def jpeg(image: Image.Image, *, quality: int) -> bytes:
    """The pixels as JPEG and nothing beside them; the same pixels give the same bytes."""
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    out = BytesIO()
    bare.save(out, "JPEG", quality=quality)
    return out.getvalue()


def _upright(data: bytes, formats: tuple[str, ...], longest: int, least: int) -> Image.Image:
    with Image.open(BytesIO(data), formats=formats) as image:
        _check_size(image, least)
        kind = image.format
        if kind in _FILMS and getattr(image, "is_animated", False):
            raise NotBroughtIn("This picture moves; choose a single photograph instead.")
        if kind in {"JPEG", "MPO"}:
            image.draft(None, (longest, longest))
        # The library that makes our PDFs lets half a picture pass for the whole process.
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        image.load()
        _check_size(image, least=1)
        profile = image.info.get("icc_profile")
        # The decoder of HEIC has turned it already; what its tag still says is of before.
        standing = image.copy() if kind == "HEIF" else ImageOps.exif_transpose(image)
        return _on_white(_in_srgb(_shrunk(_eight_bit(standing), longest), profile))


def _check_size(image: Image.Image, least: int) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise NotBroughtIn(_too_large())
    if min(image.size) < least:
        raise NotBroughtIn(
            f"The picture is only {image.width} by {image.height} pixels; take one with more."
        )


def _eight_bit(image: Image.Image) -> Image.Image:
    """Sixteen bits to eight, and palettes to colours, so that shrinking can mix them."""
    if image.mode.startswith("I"):
        return image.point(lambda level: level * (1 / 257)).convert("L")
    if image.mode == "1":
        return image.convert("L")
    if "transparency" in image.info or image.mode in {"PA", "La"}:
        return image.convert("RGBA")
    return image.convert("RGB") if image.mode == "P" else image


def _shrunk(image: Image.Image, longest: int) -> Image.Image:
    image.thumbnail((longest, longest), Image.Resampling.LANCZOS)
    return image


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Colours as the shop's screens show them; a profile that cannot be read is passed over."""
    if not profile or image.mode not in {"RGB", "CMYK", "L"}:
        return image
    try:
        held = ImageCms.ImageCmsProfile(BytesIO(profile))
        changed = ImageCms.profileToProfile(image, held, _SRGB, outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return image
    return changed or image


def _on_white(image: Image.Image) -> Image.Image:
    if image.mode not in {"RGBA", "LA"}:
        return image.convert("RGB")
    opaque = image.convert("RGBA")
    paper = Image.new("RGBA", opaque.size, "white")
    paper.alpha_composite(opaque)
    return paper.convert("RGB")


def _too_large() -> str:
    return (
        f"The picture has more than {MOST_PIXELS // 1_000_000} million pixels; take it with a "
        "smaller setting."
    )


def _either(formats: tuple[str, ...]) -> str:
    said = ["HEIC" if name == "HEIF" else "WebP" if name == "WEBP" else name for name in formats]
    return f"{', '.join(said[:-1])} or {said[-1]}"
