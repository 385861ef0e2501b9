"""Cloths by weight, as far as they behave alike on the board (trade practice, no source)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A band of cloth weights, grams to the metre: from `least_g` up to the next band."""

    key: str
    words: str
    least_g: int


UNKNOWN: Final = Band(key="unknown", words="cloth of unknown weight", least_g=0)
BANDS: Final = (
    Band(key="light", words="light cloth (under 340 g to the metre)", least_g=0),
    Band(key="middle", words="middle-weight cloth (340 to 459 g to the metre)", least_g=340),
    Band(key="heavy", words="heavy cloth (460 g to the metre or more)", least_g=460),
)


def weight_band(grams: int | None) -> Band:
    if grams is None:
        return UNKNOWN
    return max((b for b in BANDS if b.least_g <= grams), key=lambda b: b.least_g)
