"""The code on a ticket: where the paper's own page is, to be opened by a telephone."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Final

import segno
from django.conf import settings
from django.urls import reverse

from fittings.paper.marks import picture

# A module of 0.6 mm is read by a telephone from an arm's length (trade practice, no source); four
# modules of quiet zone are what ISO/IEC 18004 asks for.
MODULE_MM: Final = 0.6
QUIET_MODULES: Final = 4


def address(number: str, revision: int) -> str:
    return f"{settings.PUBLIC_ADDRESS}{reverse('ticket-code', args=[number, revision])}"


def code_image(number: str, revision: int) -> str:
    """The address as a QR code of error level M, true to size, as a `data:` address."""
    made = segno.make(address(number, revision), error="m", micro=False, boost_error=False)
    across = MODULE_MM * (len(made.matrix) + 2 * QUIET_MODULES)
    dark = "".join(_dark(row, n + QUIET_MODULES + 0.5) for n, row in enumerate(made.matrix))
    return picture(across, across, f'<path d="{dark}" stroke-width="{MODULE_MM}"/>')


def _dark(row: Iterable[int], y: float) -> str:
    """The dark modules of a row, those beside each other as one stroke."""
    strokes, at = "", QUIET_MODULES
    for is_dark, run in groupby(row):
        end = at + len(list(run))
        if is_dark:
            ends = (f"{MODULE_MM * x:.2f} {MODULE_MM * y:.2f}" for x in (at, end))
            strokes += f"M{'L'.join(ends)}"
        at = end
    return strokes
