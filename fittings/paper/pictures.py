"""The photographs on the paper: small, numbered, beside the work of their side."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from typing import Any, Final

from PIL import Image

from fittings.models import Side, Ticket
from fittings.paper.words import capital, say
from fittings.photographs.attached import photographs_of
from fittings.photographs.keeping import load
from patterns.bringing.pixels import jpeg

# At most 58 mm on paper, so some 300 dots to the inch.
_PRINTED_PX: Final = 680
_QUALITY: Final = 82


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One photograph as printed; `page` is the side on whose page it stands.

    `address` is "" where the file is no longer kept.
    """

    number: int
    page: str
    address: str
    words: str
    caption: str


def pictures(ticket: Ticket) -> list[Picture]:
    """In the order issued; those of a side without work stand on the first page."""
    worked = {line["side"] for line in ticket.content["lines"]}
    pages = [side.value for side in (Side.LEFT, Side.RIGHT, Side.BODY) if side in worked]
    return [
        Picture(
            number=number,
            page=said["side"] if said["side"] in pages else pages[0],
            address=_address(said),
            words=capital(", ".join(say(words, "mm") for words in said["words"].split(", "))),
            caption=said["caption"],
        )
        for number, said in enumerate(photographs_of(ticket), start=1)
    ]


def _address(said: Mapping[str, Any]) -> str:
    """Small enough for the paper, held by the page itself as a `data:` address."""
    data = load(said["sha256"])
    if data is None:
        return ""
    with Image.open(BytesIO(data), formats=["JPEG"]) as image:
        image.draft("RGB", (_PRINTED_PX, _PRINTED_PX))
        small = image.convert("RGB")
    small.thumbnail((_PRINTED_PX, _PRINTED_PX), Image.Resampling.LANCZOS)
    return f"data:image/jpeg;base64,{b64encode(jpeg(small, quality=_QUALITY)).decode()}"
