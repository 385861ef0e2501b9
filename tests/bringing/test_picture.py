"""Photographs taken in: bounded, turned upright, written anew, kept behind access."""

import zlib
from datetime import timedelta
from io import BytesIO
from struct import pack

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone
from PIL import Image

from patterns.bringing.brought import NotBroughtIn
from patterns.bringing.picture import cleaned, forget, forget_all, left_behind, load, store
from tests.bringing.camera import Camera


def jpeg(size: tuple[int, int] = (640, 480), **more: object) -> bytes:
    image = Image.new("RGB", size, (200, 200, 200))
    image.putpixel((0, 0), (0, 0, 0))
    out = BytesIO()
    image.save(out, "JPEG", **more)
    return out.getvalue()


def png_header(width: int, height: int) -> bytes:
    """A PNG that says it is huge and holds nearly nothing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return pack(">I", len(data)) + body + pack(">I", zlib.crc32(body))

    head = chunk(b"IHDR", pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0))
    return (
        b"\x89PNG\r\n\x1a\n"
        + head
        + chunk(b"IDAT", zlib.compress(b"\0" * 100))
        + chunk(b"IEND", b"")
    )


def test_a_picture_is_kept_with_its_size() -> None:
    picture = cleaned(jpeg())
    assert (picture.width, picture.height) == (640, 480)


def test_what_a_camera_writes_is_left_behind_and_the_picture_stands_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # orientation: to be turned by a quarter
    exif[0x010F] = "a camera"
    exif.get_ifd(0x8825)[2] = (52.0, 1.0, 2.0)  # latitude
    picture = cleaned(jpeg(exif=exif, comment=b"secret"))
    assert (picture.width, picture.height) == (480, 640)
    with Image.open(BytesIO(picture.data)) as kept:
        assert not dict(kept.getexif())
        assert "comment" not in kept.info
        assert "icc_profile" not in kept.info
    assert b"a camera" not in picture.data
    assert b"secret" not in picture.data


def test_a_large_picture_is_made_smaller() -> None:
    assert max(cleaned(jpeg((5000, 3000))).__getattribute__(n) for n in ("width", "height")) == 4000


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (png_header(12_000, 12_000), "50 million pixels"),
        (png_header(8_000, 7_000), "50 million pixels"),
        (png_header(60_000, 60_000), "50 million pixels"),
        (png_header(640, 480), "to its end"),
        (jpeg()[:-400], "to its end"),
        (jpeg((100, 400)), "only 100 by 400"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no JPEG or PNG"),
        (b"", "no JPEG or PNG"),
        (b"\xff\xd8\xff\xe0 not a picture", "JPEG|to its end"),
        (b"x" * 30_000_001, "million bytes"),
    ],
)
def test_what_is_no_sound_photograph_is_refused_in_a_sentence(data: bytes, words: str) -> None:
    with pytest.raises(NotBroughtIn, match=words):
        cleaned(data)


def test_other_formats_are_refused_whatever_their_name() -> None:
    for kind in ("GIF", "BMP", "TIFF", "WEBP"):
        out = BytesIO()
        Image.new("RGB", (400, 400)).save(out, kind)
        with pytest.raises(NotBroughtIn, match="no JPEG or PNG"):
            cleaned(out.getvalue())


def test_a_synthetic_photograph_survives() -> None:
    picture = cleaned(Camera().picture([], [(0.0, 0.0)]))
    assert (picture.width, picture.height) == (2400, 3000)


def test_pictures_are_kept_under_random_names_and_forgotten() -> None:
    picture = cleaned(jpeg())
    one, two = store(5, picture), store(5, picture)
    assert one != two
    assert len(one) == 32
    assert load(5, one) == picture.data
    assert load(6, one) is None
    assert load(5, "../5/" + one) is None
    forget(5, one)
    assert load(5, one) is None
    assert default_storage.exists(f"patterns/5/{two}.jpg")


def test_a_picture_nobody_can_come_back_to_is_left_behind_and_a_fresh_one_is_not() -> None:
    now, grace = timezone.now(), timedelta(days=2)
    assert left_behind(now, grace) == [], "there is no folder yet"
    name = store(7, cleaned(jpeg()))
    assert left_behind(now, grace) == []
    assert left_behind(now + timedelta(days=3), grace) == [f"patterns/7/{name}.jpg"]


def test_all_pictures_of_a_pattern_go_and_another_patterns_stay() -> None:
    mine, other = store(7, cleaned(jpeg())), store(8, cleaned(jpeg()))
    forget_all({7, 9})
    assert load(7, mine) is None
    assert load(8, other) is not None
