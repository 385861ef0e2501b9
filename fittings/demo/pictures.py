"""Photographs for the invented shop: a coat on a dress stand, drawn; nobody stands in them."""

from __future__ import annotations

import uuid
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

from PIL import Image, ImageDraw

from fittings.photographs.marking import put
from fittings.photographs.record import SHOWS, add_photograph, describe, send_to_workroom

if TYPE_CHECKING:
    import datetime as dt

    from fittings.models import Fitting
    from tailorshop.models import User

_SIZE: Final = (900, 1200)
_WALL, _FLOOR, _STAND = (226, 222, 213), (196, 186, 170), (120, 104, 84)
_CLOTH, _DARK, _CHALK = (62, 76, 104), (44, 55, 78), (244, 244, 240)

# Body of the coat, and the sleeves, as seen; x mirrored for the other side.
_BODY: Final = [(330, 250), (450, 225), (570, 250), (640, 330), (625, 620), (660, 900), (240, 900)]
_ARM: Final = [(335, 255), (255, 340), (225, 560), (240, 800), (320, 800), (325, 570), (355, 350)]
_SIDE_BODY: Final = [(380, 250), (470, 225), (545, 265), (580, 420), (570, 900), (350, 900)]
_SIDE_ARM: Final = [(440, 270), (520, 330), (525, 540), (450, 800), (365, 785), (420, 540)]
_TOLD: Final = (
    ("front", "", False),
    ("left", "cuff stands away from the hand at the back", True),
    ("detail-left", "folds below the back pitch", True),
)
_MARKS: Final[dict[str, tuple[tuple[str, list[list[float]], str], ...]]] = {
    "left": (
        ("pin", [[0.5, 0.66]], "stands away here"),
        ("chalk", [[0.49, 0.25], [0.44, 0.66]], ""),
    )
}


def photograph(fitting: Fitting, *, by: User, at: dt.datetime) -> None:
    """Three photographs of one fitting, two of them for the workroom."""
    by_key = {shows.key: shows for shows in SHOWS}
    for key, note, to_workroom in _TOLD:
        kept = add_photograph(fitting, _drawn(key), shows=by_key[key], by=by, taken_at=at)
        if note:
            describe(kept, shows=by_key[key], note=note)
        for kind, points, words in _MARKS.get(key, ()):
            put(
                kept,
                kind=kind,
                points=points,
                words=words,
                by=by,
                made_at=at,
                identity=uuid.uuid4(),
            )
        send_to_workroom(kept, wanted=to_workroom)


def _drawn(key: str) -> bytes:
    image = Image.new("RGB", _SIZE, _WALL)
    pen = ImageDraw.Draw(image)
    pen.rectangle((0, 1040, 900, 1200), fill=_FLOOR)
    pen.rectangle((440, 880, 462, 1100), fill=_STAND)
    pen.ellipse((330, 1080, 570, 1130), fill=_STAND)
    pen.rounded_rectangle((405, 130, 495, 260), radius=38, fill=_STAND)
    if key == "front":
        _front(pen)
    else:
        _side(pen)
    if key.startswith("detail"):
        image = image.crop((300, 220, 660, 700)).resize(_SIZE, Image.Resampling.LANCZOS)
    out = BytesIO()
    image.save(out, "JPEG", quality=88)
    return out.getvalue()


def _front(pen: Any) -> None:
    pen.polygon([*_BODY, (275, 620), (260, 330)], fill=_CLOTH)
    pen.polygon([(395, 240), (450, 520), (505, 240), (450, 300)], fill=_CHALK)
    for points in (_ARM, [(900 - x, y) for x, y in _ARM]):
        pen.polygon(points, fill=_DARK, outline=_CLOTH)
    pen.line([(450, 520), (446, 900)], fill=_DARK, width=5)
    for y in (560, 680):
        pen.ellipse((456, y, 476, y + 20), fill=_DARK)


def _side(pen: Any) -> None:
    """From the wearer's left: the front at the picture's left, folds where the back pitch pulls."""
    pen.polygon(_SIDE_BODY, fill=_CLOTH)
    pen.polygon(_SIDE_ARM, fill=_DARK, outline=_CLOTH)
    for n in range(3):
        pen.line([(516, 380 + 38 * n), (440, 420 + 40 * n)], fill=_CLOTH, width=6)
    pen.line([(462, 280), (452, 800)], fill=_CHALK, width=3)
