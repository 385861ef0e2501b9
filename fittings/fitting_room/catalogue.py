"""The catalogue of a shop: the book's rows with what the shop says otherwise, and its own rows.

An entry keeps the row as it stood when it was logged, so a change here changes no record.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from fittings.models import ShopFinding
from fittings.refusals import Refused
from patterns.rules.catalogue import FINDINGS, SLEEVE_FINDINGS, Finding
from patterns.rules.garment_catalogue import BOOK
from patterns.rules.garment_finding import Edge, GarmentFinding, Remedy

OWN_SOURCE = "the shop's own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """What the shop says, by the rule it says it of: read once, then asked without a query."""

    said: Mapping[str, ShopFinding]

    @classmethod
    def now(cls) -> Catalogue:
        """One query, however many rows."""
        return cls(said={row.rule: row for row in ShopFinding.objects.all()})

    def garment(self, garment: str) -> tuple[GarmentFinding, ...]:
        """What can be logged on this garment: the shop's amounts and words, none switched off."""
        book = [as_said(row, self.said.get(row.id)) for row in BOOK[garment] if self._on(row.id)]
        own = [
            own_row(row)
            for row in self.said.values()
            if row.is_own and row.garment == garment and not row.switched_off
        ]
        return (*book, *own)

    def sleeve(self) -> tuple[Finding, ...]:
        """The same of a sleeve, whose rows all have rules of their own in the book."""
        return tuple(
            sleeve_as_said(row, self.said.get(row.id))
            for row in SLEEVE_FINDINGS
            if self._on(row.id)
        )

    def _on(self, rule: str) -> bool:
        return rule not in self.said or not self.said[rule].switched_off


def keeping_row(reading: dict[str, Any]) -> dict[str, Any]:
    """The reading; a finding of a sleeve with its row as it stands now."""
    if reading["what"] != "finding":
        return reading
    id_ = reading["finding"]
    said = ShopFinding.objects.filter(rule=id_).first()
    return {**reading, "row": sleeve_as_said(FINDINGS[id_], said).written()}


def offered(garment: str) -> tuple[GarmentFinding, ...]:
    return Catalogue.now().garment(garment)


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
    remedies = row.remedies
    if said.remedy and len(remedies) == 1:
        remedies = (replace(remedies[0], words=said.remedy),)
    return replace(
        row,
        name=said.name or row.name,
        seen=said.seen or row.seen,
        usual_mm=_usual(row.usual_mm, said),
        remedies=remedies,
    )


def sleeve_as_said(row: Finding, said: ShopFinding | None) -> Finding:
    """The same of a sleeve; where only a measured amount will do, that stays so."""
    if said is None:
        return row
    return replace(
        row,
        called=said.name or row.called,
        seen=said.seen or row.seen,
        usual_mm=row.usual_mm and _usual(row.usual_mm, said),
    )


def _usual(
    book: tuple[float, float, float] | None, said: ShopFinding
) -> tuple[float, float, float] | None:
    """Least, usual, most: the book's range is stretched where the shop's amount is outside it."""
    if said.usual_mm is None:
        return book
    mm = float(said.usual_mm)
    least, most = (book[0], book[2]) if book else (mm, mm)
    return min(least, mm), mm, max(most, mm)


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
