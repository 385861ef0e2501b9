"""What is written with a tick: inlay really used, and how long it took."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from fittings.bench.inlay_account import planned
from fittings.bench.minutes import said
from fittings.bench.ticks import MOST_MINUTES
from fittings.models import InlayPlace, InlayUse, TicketLine
from fittings.refusals import Refused
from fittings.units import Entered, format_length, parse_length

# One tap each; anything else is typed.
PRESETS: Final = (10, 20, 30, 45, 60, 90)
MINUTES: Final = tuple((minutes, said(minutes)) for minutes in PRESETS)


@dataclass(frozen=True, slots=True, kw_only=True)
class InlayField:
    """Inlay of one place on a line: what to type it into, or what was written with the tick."""

    name: str
    place: str
    typed: str
    unit: str
    used: str = ""
    planned: str = ""

    @property
    def differs(self) -> bool:
        return bool(self.used) and self.used != self.planned


def inlay_fields(line: TicketLine, unit: str, posted: Mapping[str, str]) -> list[InlayField]:
    """The places of a line, filled with what is planned in this unit, or as it was posted."""
    kept: dict[str, InlayUse] = {use.place: use for use in line.inlay_uses.all()}
    return [
        _field(line, place, mm, kept.get(place), unit, posted)
        for place, mm in planned(line).items()
    ]


def _field(
    line: TicketLine,
    place: str,
    mm: Decimal,
    use: InlayUse | None,
    unit: str,
    posted: Mapping[str, str],
) -> InlayField:
    name = _name(line, place)
    used = use.used_mm if use else None
    return InlayField(
        name=name,
        place=str(InlayPlace(place).label),
        typed=posted.get(name, _bare(mm, unit)),
        unit=unit,
        used="" if used is None else format_length(used, unit),
        planned=format_length(mm, unit),
    )


def inlay_used(line: TicketLine, unit: str, posted: Mapping[str, str]) -> dict[str, Entered]:
    """What was typed, by place. What was left empty, or as it stood there, is as planned.

    Refuses (NotALength) what is no length.
    """
    used = {}
    for place, mm in planned(line).items():
        typed = posted.get(_name(line, place), "").strip()
        if typed and typed != _bare(mm, unit):
            used[place] = parse_length(typed, unit)
    return used


def minutes_in(posted: Mapping[str, str]) -> int:
    """Minutes of the key that was tapped, else as typed. Refuses (Refused) what is no number."""
    typed = (posted.get("preset") or posted.get("minutes", "")).strip()
    if not typed.isdecimal() or not typed.isascii():
        raise Refused(f"Write the minutes as a number, 1 to {MOST_MINUTES}.")
    return int(typed[:4])


def _name(line: TicketLine, place: str) -> str:
    return f"used-{line.position}-{place}"


def _bare(mm: Decimal, unit: str) -> str:
    return format_length(mm, unit).removesuffix(f" {unit}")
