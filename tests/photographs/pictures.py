"""Picture files of every awkward kind, made as cameras and ill-wishers make them."""

import datetime as dt
import struct
import zlib
from io import BytesIO
from typing import Any

import numpy as np
import pillow_heif
from django.utils import timezone
from PIL import Image

from fittings.models import Fitting, Photograph
from fittings.photographs.record import SHOWS, add_photograph
from tailorshop.models import User

MARKER = b"seen-at-the-water-mill"
CORNERS = {"red": (220, 30, 30), "green": (30, 170, 60), "blue": (30, 60, 220), "black": (9, 9, 9)}


def quartered(wide: int = 96, high: int = 64) -> Image.Image:
    """Red top left, green top right, blue bottom left, black bottom right."""
    image = Image.new("RGB", (wide, high))
    for n, colour in enumerate(CORNERS.values()):
        x, y = n % 2 * wide // 2, n // 2 * high // 2
        image.paste(colour, (x, y, x + wide // 2, y + high // 2))
    return image


def corners(data: bytes) -> list[str]:
    """The colours of a picture's quarters, row by row, by name."""
    with Image.open(BytesIO(data)) as image:
        wide, high = image.size
        at = [(wide // 4 + wide // 2 * (n % 2), high // 4 + high // 2 * (n // 2)) for n in range(4)]
        return [_named(np.array(image.convert("RGB"))[y, x]) for x, y in at]


def _named(pixel: Any) -> str:
    far = {name: np.abs(pixel.astype(int) - colour).sum() for name, colour in CORNERS.items()}
    name = min(far, key=lambda name: far[name])
    assert far[name] < 60, f"{pixel} is none of the colours"
    return name


def file(image: Image.Image, kind: str = "JPEG", **more: Any) -> bytes:
    out = BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def exif(orientation: int = 1) -> bytes:
    """What a camera writes: which way it was held, its maker, and where it stood."""
    held = Image.Exif()
    held[0x0112] = orientation
    held[0x010F] = MARKER.decode()
    place = held.get_ifd(0x8825)
    place[1], place[2] = "N", (52.0, 12.0, 30.5)
    place[3], place[4] = "E", (0.0, 7.0, 9.25)
    place[29] = "2026:02:02"
    return held.tobytes()


def heic(image: Image.Image, **more: Any) -> bytes:
    out = BytesIO()
    pillow_heif.from_pillow(image).save(out, quality=90, **more)
    return out.getvalue()


def chunk(kind: bytes, data: bytes) -> bytes:
    body = kind + data
    return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))


def huge_png(wide: int, high: int) -> bytes:
    """A PNG of one bit a pixel that unpacks to `wide` by `high` and is small to send."""
    rows = zlib.compressobj(9)
    row = b"\0" * (1 + (wide + 7) // 8)
    packed = b"".join(rows.compress(row * 1000) for _ in range(high // 1000)) + rows.flush()
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, 1, 0, 0, 0, 0))
        + chunk(b"IDAT", packed)
        + chunk(b"IEND", b"")
    )


def film(kind: str) -> bytes:
    first, second = quartered(), quartered().transpose(Image.Transpose.ROTATE_90).resize((96, 64))
    return file(first, kind, save_all=True, append_images=[second], duration=80)


def photographed(fitting: Fitting, by: User, image: Image.Image | None = None) -> Photograph:
    """A photograph at a fitting of a customer who agrees to it."""
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = dt.date(2026, 1, 5)
    customer.save()
    return add_photograph(
        fitting,
        file(image or quartered()),
        shows=SHOWS[0],
        by=by,
        taken_at=timezone.now(),
    )
