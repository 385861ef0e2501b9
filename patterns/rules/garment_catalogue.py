"""The book of what is seen on a whole garment, apart from its sleeves: ids are stable."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from patterns.rules.coat_findings import COAT_FINDINGS
from patterns.rules.coat_width_findings import COAT_WIDTH_FINDINGS
from patterns.rules.garment_finding import GarmentFinding
from patterns.rules.trousers_findings import TROUSERS_FINDINGS
from patterns.rules.waistcoat_findings import WAISTCOAT_FINDINGS

BOOK: Final[Mapping[str, tuple[GarmentFinding, ...]]] = {
    "coat": (*COAT_FINDINGS, *COAT_WIDTH_FINDINGS),
    "overcoat": (*COAT_FINDINGS, *COAT_WIDTH_FINDINGS),
    "waistcoat": WAISTCOAT_FINDINGS,
    "trousers": TROUSERS_FINDINGS,
}
GARMENT_FINDINGS: Final[Mapping[str, GarmentFinding]] = {
    row.id: row for rows in BOOK.values() for row in rows
}

# Cloth usually left over, mm (trade practice, no source; a shop records its own per cut).
USUAL_INLAYS_MM: Final[Mapping[str, tuple[float, float]]] = {
    "centre back": (15, 25),
    "side": (20, 25),
    "back shoulder": (10, 15),
    "neck back": (10, 10),
    "back armhole": (10, 10),
    "front armhole": (0, 5),
    "hem": (40, 50),
    "seat": (25, 50),
    "fork": (10, 15),
    "leg": (15, 15),
    "bottoms": (60, 80),
    "waist": (25, 25),
}
