"""The code on a ticket: where the paper's own page is, to be opened by a telephone."""

from __future__ import annotations

from typing import Final

import segno
from django.conf import settings
from django.urls import reverse

# A module of 0.6 mm is read by a telephone from an arm's length (trade practice, no source); four
# modules of quiet zone are what ISO/IEC 18004 asks for.
MODULE_MM: Final = 0.6
QUIET_MODULES: Final = 4


def address(number: str, revision: int) -> str:
    return f"{settings.PUBLIC_ADDRESS}{reverse('ticket-code', args=[number, revision])}"


def code_image(number: str, revision: int) -> str:
    """The address as a QR code of error level M: an SVG, true to size, as a `data:` address."""
    made = segno.make(address(number, revision), error="m", micro=False, boost_error=False)
    return str(made.svg_data_uri(scale=MODULE_MM, unit="mm", border=QUIET_MODULES, light="#fff"))
