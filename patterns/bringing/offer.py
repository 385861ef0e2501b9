"""What was understood of a drawing, kept in the session until somebody saves it or leaves it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Self

from patterns.bringing.brought import Brought, NotBroughtIn
from patterns.bringing.dxf import read_dxf
from patterns.bringing.svg import read_svg
from patterns.bringing.understanding import understand
from patterns.rules.pattern import SidePattern

SIDES: Final = ("left", "right")
KEEP: Final = "now"
_FROM: Final = {"": "file", "left": "left", "right": "right"}
_WORDS: Final = {
    "file": "as in the file",
    "left": "as the wearer's left of the file",
    "right": "as the wearer's right of the file",
}


def read_file(data: bytes) -> Brought:
    """SVG or DXF, told by the file itself and not by its name. Refuses NotBroughtIn."""
    start = data[:2000].lstrip(b"\xef\xbb\xbf \t\r\n")
    if start.startswith(b"<"):
        return read_svg(data)
    if b"SECTION" in start:
        return read_dxf(data)
    if not data.strip():
        raise NotBroughtIn("The file is empty; choose another.")
    raise NotBroughtIn("This is neither an SVG nor a DXF drawing; save the drawing as one of them.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """For each side of the pattern what each side of the file would make of it.

    `made[side][source]`: the side's document and its remarks; `number`: the version it was made
    beside, which is to be the parent.
    """

    name: str
    number: int
    made: Mapping[str, Mapping[str, tuple[dict[str, Any], list[str]]]]

    @classmethod
    def of(cls, brought: Brought, sides: Mapping[str, Any], *, name: str, number: int) -> Self:
        """Refuses NotBroughtIn a drawing of which no side can be made."""
        made: dict[str, dict[str, tuple[dict[str, Any], list[str]]]] = {}
        for side in SIDES:
            current = SidePattern.read(sides[side])
            for source in brought.sides:
                told = understand(brought, source, current)
                document = told.side.written()
                made.setdefault(side, {})[_FROM[source]] = (document, list(told.remarks))
        return cls(name=name, number=number, made=made)

    @classmethod
    def read(cls, kept: Mapping[str, Any]) -> Self:
        return cls(name=kept["name"], number=kept["number"], made=kept["made"])

    def written(self) -> dict[str, Any]:
        return {"name": self.name, "number": self.number, "made": self.made}

    def choices(self, side: str) -> list[tuple[str, str]]:
        return [(source, _WORDS[source]) for source in self.made[side]] + [(KEEP, "as it is now")]

    def usual(self, side: str) -> str:
        """The source that belongs to a side: its own, or the only one that is for no side."""
        return next((one for one in (side, "file") if one in self.made[side]), KEEP)

    def sides(self, chosen: Mapping[str, str], current: Mapping[str, Any]) -> dict[str, Any]:
        """The documents of both sides as chosen."""
        return {
            side: current[side] if chosen[side] == KEEP else self.made[side][chosen[side]][0]
            for side in SIDES
        }

    def remarks(self) -> Iterator[tuple[str, list[str]]]:
        """The remarks of each source of the file, told once."""
        told: dict[str, list[str]] = {}
        for of in self.made.values():
            for source, (_, remarks) in of.items():
                told[source] = list(dict.fromkeys([*told.get(source, []), *remarks]))
        for source, remarks in told.items():
            yield "" if source == "file" else f"wearer's {source}", remarks
