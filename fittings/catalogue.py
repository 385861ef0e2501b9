"""The catalogue of a shop: the book's rows with what the shop says otherwise, and its own rows.

An entry keeps the row as it stood when it was logged, so a change here changes no record.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from fittings.models import ShopFinding
from fittings.refusals import Refused
from patterns.rules.garment_catalogue import BOOK
from patterns.rules.garment_finding import Edge, GarmentFinding, Remedy

OWN_SOURCE = "the shop's own"


def offered(garment: str) -> tuple[GarmentFinding, ...]:
    """What can be logged on this garment now: the shop's amounts and words, nothing switched off.

    One query, however many rows.
    """
    said = {row.rule: row for row in ShopFinding.objects.all()}
    book = [
        as_said(row, said.get(row.id))
        for row in BOOK[garment]
        if row.id not in said or not said[row.id].switched_off
    ]
    own = [
        own_row(row)
        for row in said.values()
        if row.is_own and row.garment == garment and not row.switched_off
    ]
    return (*book, *own)


def find_offered(garment: str, id_: str) -> GarmentFinding:
    """Refuses (Refused) what is not offered, in a sentence."""
    for row in offered(garment):
        if row.id == id_:
            return row
    raise Refused("This is not in the shop's catalogue any more: open the page anew.")


def as_said(row: GarmentFinding, said: ShopFinding | None) -> GarmentFinding:
    """The book's row in the shop's words and amount."""
    if said is None:
        return row
    usual = row.usual_mm
    if said.usual_mm is not None:
        mm = float(said.usual_mm)
        least, most = (usual[0], usual[2]) if usual else (mm, mm)
        usual = (min(least, mm), mm, max(most, mm))
    remedies = row.remedies
    if said.remedy and len(remedies) == 1:
        remedies = (replace(remedies[0], words=said.remedy),)
    return replace(
        row,
        name=said.name or row.name,
        seen=said.seen or row.seen,
        usual_mm=usual,
        remedies=remedies,
    )


def own_row(said: ShopFinding) -> GarmentFinding:
    """A finding that is in no book."""
    mm = None if said.usual_mm is None else float(said.usual_mm)
    edge = Edge(
        piece=said.piece, edge=said.edge, direction=said.direction, acts=said.acts or "as written"
    )
    return GarmentFinding(
        id=said.rule,
        check=said.check_id,
        name=said.name,
        seen=said.seen,
        cause="",
        usual_mm=None if mm is None else (mm, mm, mm),
        sided=said.sided,
        latest="delivered",
        remedies=(Remedy(id="own", words=said.remedy, edges=(edge,)),),
        source=OWN_SOURCE,
    )


def by_check(rows: Iterable[GarmentFinding]) -> Mapping[str, list[GarmentFinding]]:
    """The rows under the check they belong to, in their order."""
    found: dict[str, list[GarmentFinding]] = {}
    for row in rows:
        found.setdefault(row.check, []).append(row)
    return found
