"""A copy of a photograph with its marks drawn in, for paper: the picture that is kept stays bare.

Lines are black within white, so that they read in black and white on light and dark cloth; a chalk
line is dashed, a pin a disc, a note a square. The words stand below the picture by their numbers.
"""

from __future__ import annotations

import math
from io import BytesIO
from typing import Final

from PIL import Image, ImageDraw, ImageFont

from fittings.models import MarkKind, Photograph
from fittings.photographs.keeping import load
from fittings.photographs.marking import Drawn, drawn
from fittings.refusals import Refused

BLACK: Final = (10, 10, 10)
WHITE: Final = (255, 255, 255)
# Height of the words below the picture, against its width.
WORDS: Final = 0.032
Spot = tuple[float, float]


def burnt_copy(photograph: Photograph) -> bytes:
    """JPEG bytes of the photograph with its standing marks; without marks, the file as it is kept.

    Refuses (Refused) a photograph whose file is no longer kept.
    """
    master = load(photograph.sha256)
    if master is None:
        raise Refused("The file of this photograph is no longer kept.")
    marks = drawn(photograph, photograph.marks.standing())
    if not marks:
        return master
    with Image.open(BytesIO(master)) as image:
        picture = image.convert("RGB")
    pen = ImageDraw.Draw(picture)
    for mark in marks:
        _draw(pen, mark)
    out = BytesIO()
    _with_words(picture, marks).save(out, "JPEG", quality=88)
    return out.getvalue()


def _draw(pen: ImageDraw.ImageDraw, mark: Drawn) -> None:
    _halo_line(pen, mark.place, mark.label, mark.disc)
    if mark.kind == MarkKind.CHALK:
        _line(pen, mark.place, mark.end, mark.disc)
    else:
        pen.circle(mark.place, mark.dot + 2, fill=WHITE)
        pen.circle(mark.place, mark.dot, fill=BLACK)
    _number(pen, mark)


def _line(pen: ImageDraw.ImageDraw, start: Spot, end: Spot, disc: int) -> None:
    """Dashes of black on a white band, so that it differs from a seam or a stripe."""
    pen.line([start, end], fill=WHITE, width=max(5, disc // 2))
    length = math.dist(start, end)
    dash, gap = 1.2 * disc, 0.7 * disc
    along = 0.0
    while along < length:
        stop = min(along + dash, length)
        ends = [_between(start, end, share / length) for share in (along, stop)]
        pen.line(ends, fill=BLACK, width=max(3, disc // 4))
        along = stop + gap


def _halo_line(pen: ImageDraw.ImageDraw, start: Spot, end: Spot, disc: int) -> None:
    pen.line([start, end], fill=WHITE, width=max(4, disc // 3))
    pen.line([start, end], fill=BLACK, width=max(2, disc // 8))


def _between(start: Spot, end: Spot, share: float) -> Spot:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _number(pen: ImageDraw.ImageDraw, mark: Drawn) -> None:
    left, top, size = mark.box
    box = (left, top, left + size, top + size)
    shape = pen.rectangle if mark.kind == MarkKind.NOTE else pen.ellipse
    shape((box[0] - 3, box[1] - 3, box[2] + 3, box[3] + 3), fill=WHITE)
    shape(box, fill=WHITE, outline=BLACK, width=max(2, mark.disc // 7))
    font = ImageFont.load_default(mark.letters)
    pen.text(mark.label, str(mark.mark.number), fill=BLACK, font=font, anchor="mm")


def _with_words(picture: Image.Image, marks: list[Drawn]) -> Image.Image:
    """The picture with a white strip below it that says what the numbers mean."""
    said = [f"{m.mark.number}  {m.mark.words}" for m in marks if m.mark.words]
    if not said:
        return picture
    size = max(12.0, WORDS * picture.width)
    font = ImageFont.load_default(size)
    lines = [line for words in said for line in _wrapped(words, font, picture.width - 2 * size)]
    strip = round((len(lines) + 0.8) * 1.35 * size)
    whole = Image.new("RGB", (picture.width, picture.height + strip), WHITE)
    whole.paste(picture, (0, 0))
    pen = ImageDraw.Draw(whole)
    for row, line in enumerate(lines):
        top = picture.height + (row + 0.4) * 1.35 * size
        pen.text((size, top), line, fill=BLACK, font=font)
    return whole


def _wrapped(
    words: str, font: ImageFont.ImageFont | ImageFont.FreeTypeFont, most: float
) -> list[str]:
    lines = [""]
    for word in words.split(" "):
        tried = f"{lines[-1]} {word}".lstrip() if lines[-1] else word
        if lines[-1] and font.getlength(tried) > most:
            lines.append(word)
        else:
            lines[-1] = tried
    return lines
