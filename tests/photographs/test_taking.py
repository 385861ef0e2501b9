"""Photographs as cameras make them and as ill-wishers make them: upright and bare, or refused."""

from io import BytesIO

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, ImageFile, PngImagePlugin

from fittings.photographs.taking import check_size, taken_in, turned
from fittings.refusals import Refused
from tests.photographs.pictures import (
    CORNERS,
    MARKER,
    corners,
    exif,
    file,
    film,
    heic,
    huge_png,
    quartered,
)

UPRIGHT = ["red", "green", "blue", "black"]
# How the picture lies in the file under each orientation, from the table of the standard
# (JEITA CP-3451, section 4.6.4, "Orientation": where row 0 and column 0 of the file are seen).
LIES = {
    1: ["red", "green", "blue", "black"],  # row 0 is the top, column 0 the left
    2: ["green", "red", "black", "blue"],  # top, right
    3: ["black", "blue", "green", "red"],  # bottom, right
    4: ["blue", "black", "red", "green"],  # bottom, left
    5: ["red", "blue", "green", "black"],  # left, top
    6: ["green", "black", "red", "blue"],  # right, top
    7: ["black", "green", "blue", "red"],  # right, bottom
    8: ["blue", "red", "black", "green"],  # left, bottom
}


def lying(orientation: int) -> Image.Image:
    """The picture as the sensor wrote it: laid out by the table, quarter by quarter."""
    wide, high = (96, 64) if orientation < 5 else (64, 96)
    image = Image.new("RGB", (wide, high))
    for n, name in enumerate(LIES[orientation]):
        x, y = n % 2 * wide // 2, n // 2 * high // 2
        image.paste(CORNERS[name], (x, y, x + wide // 2, y + high // 2))
    return image


def test_an_upright_photograph_is_left_upright() -> None:
    taken = taken_in(file(quartered()))
    assert (taken.width, taken.height) == (96, 64)
    assert corners(taken.master) == UPRIGHT


@pytest.mark.parametrize("orientation", LIES)
def test_each_of_the_eight_orientations_is_put_right(orientation: int) -> None:
    taken = taken_in(file(lying(orientation), quality=95, exif=exif(orientation)))
    assert (taken.width, taken.height) == (96, 64)
    assert corners(taken.master) == UPRIGHT
    assert corners(taken.thumb) == UPRIGHT


def test_an_orientation_that_does_not_exist_turns_nothing() -> None:
    assert corners(taken_in(file(quartered(), exif=exif(9))).master) == UPRIGHT


@pytest.mark.parametrize("orientation", [3, 6, 8])
def test_heic_is_turned_once_by_its_decoder_and_not_again_by_its_old_tag(orientation: int) -> None:
    """pillow-heif writes the turn into the container and leaves the tag, as telephones do."""
    data = heic(lying(orientation), exif=exif(orientation))
    assert corners(taken_in(data).master) == UPRIGHT


def test_a_turned_photograph_has_its_top_at_the_right() -> None:
    after = turned(taken_in(file(quartered(), quality=95)).master)
    assert (after.width, after.height) == (64, 96)
    assert corners(after.master) == ["blue", "red", "black", "green"]


def marked() -> dict[str, bytes]:
    """One file of each kind with the marker in every place that its kind has for such things."""
    image, place, note = quartered(), exif(), MARKER.decode()
    text = PngImagePlugin.PngInfo()
    text.add_text("Comment", note)
    text.add_itxt("XML:com.adobe.xmp", f"<x>{note}</x>", zip=False)
    xmp = b"<x:xmpmeta>" + MARKER + b"</x:xmpmeta>"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes() + MARKER
    extra = {"exif": place, "icc_profile": profile}
    return {
        "JPEG": file(image, **extra, comment=MARKER, xmp=xmp) + MARKER,
        "PNG": file(image, "PNG", **extra, pnginfo=text) + MARKER,
        "WEBP": file(image, "WEBP", **extra, xmp=xmp, lossless=True),
        "HEIC": heic(image, exif=place, xmp=xmp),
    }


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIC"])
def test_nothing_that_a_camera_wrote_is_kept(kind: str) -> None:
    sent = marked()[kind]
    assert MARKER in sent, "the marker must be there to be left behind"
    taken = taken_in(sent)
    for data in (taken.master, taken.thumb):
        assert MARKER not in data
        for leftover in (b"Exif", b"ICC_PROFILE", b"xmp", b"GPS", b"http"):
            assert leftover not in data
        with Image.open(BytesIO(data)) as kept:
            assert kept.format == "JPEG"
            assert not dict(kept.getexif())
            assert not dict(kept.getexif().get_ifd(0x8825))
            assert set(kept.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert corners(taken.master) == UPRIGHT


def test_a_large_photograph_is_kept_at_2048_with_a_thumbnail_of_400() -> None:
    taken = taken_in(file(quartered(3000, 4000)))
    assert (taken.width, taken.height) == (1536, 2048)
    with Image.open(BytesIO(taken.thumb)) as thumb:
        assert thumb.size == (300, 400)


def test_what_is_seen_through_is_laid_on_white() -> None:
    for mode in ("RGBA", "LA"):
        image = Image.new(mode, (40, 40), 0)
        taken = taken_in(file(image, "PNG"))
        with Image.open(BytesIO(taken.master)) as kept:
            assert kept.getpixel((20, 20)) == (255, 255, 255)


def test_a_palette_with_one_colour_seen_through_is_laid_on_white() -> None:
    image = Image.new("P", (40, 40), 1)
    image.putpalette([0, 0, 0, 200, 0, 0])
    taken = taken_in(file(image, "PNG", transparency=1))
    with Image.open(BytesIO(taken.master)) as kept:
        assert kept.getpixel((20, 20)) == (255, 255, 255)
    plain = taken_in(file(image, "PNG"))
    with Image.open(BytesIO(plain.master)) as kept:
        red, green, blue = kept.getpixel((20, 20))  # type: ignore[misc]
        assert red > 190
        assert max(green, blue) < 20


def test_a_photograph_for_the_printer_in_four_inks_comes_out_in_its_colours() -> None:
    image = Image.new("CMYK", (40, 40), (0, 255, 255, 0))  # magenta and yellow: red
    with Image.open(BytesIO(taken_in(file(image)).master)) as kept:
        red, green, blue = kept.getpixel((20, 20))  # type: ignore[misc]
    assert red > 180
    assert max(green, blue) < 90


def test_sixteen_bits_keep_their_greys() -> None:
    """Half of 65535 is half of 255, not white."""
    image = Image.fromarray(np.full((40, 40), 32768, dtype=np.uint16))
    assert image.mode == "I;16"
    with Image.open(BytesIO(taken_in(file(image, "PNG")).master)) as kept:
        assert kept.getpixel((20, 20)) == pytest.approx((128, 128, 128), abs=2)


def test_one_bit_and_grey_pictures_are_taken() -> None:
    for mode, white in (("1", 1), ("L", 255)):
        taken = taken_in(file(Image.new(mode, (40, 40), white), "PNG"))
        with Image.open(BytesIO(taken.master)) as kept:
            assert kept.getpixel((5, 5)) == (255, 255, 255)


def test_a_photograph_with_a_second_picture_in_it_is_one_photograph() -> None:
    """Telephones write JPEG files with a second picture behind the first (MPO)."""
    data = file(quartered(), "MPO", save_all=True, append_images=[Image.new("RGB", (96, 64))])
    assert corners(taken_in(data).master) == UPRIGHT


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_a_film_is_refused(kind: str) -> None:
    with pytest.raises(Refused, match=r"moves; choose a single photograph"):
        taken_in(film(kind))


SVG = (
    b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"
)
WHOLE = file(quartered(600, 400))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        pytest.param(film("GIF"), "no JPEG, PNG, WebP or HEIC", id="animated GIF"),
        pytest.param(SVG, "no JPEG, PNG, WebP or HEIC", id="SVG named .jpg"),
        pytest.param(b"<!doctype html><script>1</script>", "no JPEG", id="page named .jpg"),
        pytest.param(
            b"\xff\xd8\xff\xe0<script>", "no JPEG|to its end", id="a script behind a head"
        ),
        pytest.param(b"", "no JPEG", id="0 byte"),
        pytest.param(file(quartered(), "BMP"), "no JPEG", id="BMP"),
        pytest.param(file(quartered(), "TIFF"), "no JPEG", id="TIFF"),
        pytest.param(WHOLE[: len(WHOLE) // 2], "to its end", id="half a JPEG"),
        pytest.param(WHOLE[:-200], "to its end", id="JPEG without its end"),
        pytest.param(file(quartered(), "PNG")[:-40], "to its end", id="PNG without its end"),
        pytest.param(file(quartered(), "WEBP")[:-40], "no JPEG|to its end", id="WebP cut off"),
        pytest.param(heic(quartered())[:-40], "no JPEG|to its end", id="HEIC cut off"),
        pytest.param(huge_png(30_000, 30_000), "50 million pixels", id="30,000 by 30,000 PNG"),
        pytest.param(huge_png(12_000, 9_000), "50 million pixels", id="warned of only"),
        pytest.param(huge_png(8_000, 7_000), "50 million pixels", id="just over our own limit"),
    ],
)
def test_what_is_no_sound_photograph_is_refused_in_a_sentence(data: bytes, words: str) -> None:
    with pytest.raises(Refused, match=words) as refused:
        taken_in(data)
    assert str(refused.value).endswith(".")
    assert "; " in str(refused.value), "it says what to do"


def test_half_a_photograph_is_refused_after_a_paper_was_printed() -> None:
    """The library that makes our PDFs lets half a picture pass, for the whole process."""
    ImageFile.LOAD_TRUNCATED_IMAGES = True
    with pytest.raises(Refused, match="to its end"):
        taken_in(WHOLE[: len(WHOLE) // 2])


def test_a_file_of_25_million_bytes_is_refused_before_it_is_read() -> None:
    check_size(15_000_000, most=15_000_000)
    with pytest.raises(Refused, match=r"holds 25 million bytes and at most 15 are taken: take it"):
        check_size(25_000_000, most=15_000_000)
    with pytest.raises(Refused, match="empty"):
        check_size(0, most=15_000_000)


@settings(max_examples=60, deadline=None)
@given(
    data=st.sampled_from([file(quartered()), file(quartered(), "PNG"), heic(quartered())]),
    at=st.integers(0, 400),
    byte=st.integers(0, 255),
)
def test_a_spoiled_byte_gives_a_photograph_or_a_sentence(data: bytes, at: int, byte: int) -> None:
    spoiled = bytearray(data)
    spoiled[at % len(data)] = byte
    try:
        taken = taken_in(bytes(spoiled))
    except Refused:
        return
    with Image.open(BytesIO(taken.master)) as kept:
        kept.load()
