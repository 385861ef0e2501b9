"""What is touched on a photograph to measure it, and how each touch is asked for in words.

A place is a share of the picture's width and height, 0 to 1 from its upper left corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from fittings.models import Photograph, PhotographView, Side
from patterns.geometry.touches import Limb, Point, SeenFrom

Places = Mapping[str, Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    name: str
    asks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Touches that mean something only together."""

    name: str
    title: str
    why: str
    touches: tuple[Touch, ...]
    needed: bool = False


def groups(side: str) -> tuple[Group, ...]:
    """In the order they are asked for; `side` is "left" or "right"."""
    whose = str(Side(side).label)
    return (
        Group(
            name="arm",
            title="Arm",
            why="Needed. Through the cloth, where the arm is.",
            needed=True,
            touches=(
                Touch(name="arm_top", asks=f"the {whose} shoulder point"),
                Touch(name="arm_elbow", asks=f"the middle of the {whose} elbow"),
                Touch(name="arm_end", asks=f"the middle of the {whose} wrist"),
            ),
        ),
        Group(
            name="sleeve",
            title="Sleeve",
            why="For the pitch: how the sleeve hangs against the arm.",
            touches=(
                Touch(name="sleeve_top", asks=f"the top of the {whose} sleeve's head"),
                Touch(name="sleeve_elbow", asks=f"the middle of the {whose} sleeve at the elbow"),
                Touch(name="sleeve_end", asks=f"the middle of the {whose} cuff's edge"),
            ),
        ),
        Group(
            name="plumb",
            title="Plumb line",
            why="Something that hangs plumb. Without it the picture's own upright is taken.",
            touches=(
                Touch(name="plumb_upper", asks="the plumb line near its upper end"),
                Touch(name="plumb_lower", asks="the plumb line near its lower end"),
            ),
        ),
        Group(
            name="rule",
            title="Known length",
            why="A rule or tape beside the sleeve: then the cuff is measured in millimetres.",
            touches=(
                Touch(name="rule_one", asks="one end of the known length"),
                Touch(name="rule_other", asks="its other end"),
            ),
        ),
    )


NAMES: Final = tuple(touch.name for group in groups("left") for touch in group.touches)


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """All touches of one arm on one photograph, and the known length (mm) where there is one."""

    side: str
    places: Places
    rule_mm: float | None = None

    def has(self, group: str) -> bool:
        """Whether the group is touched whole."""
        found = next(g for g in groups(self.side) if g.name == group)
        return all(touch.name in self.places for touch in found.touches)

    def begun(self) -> Iterator[Group]:
        """Groups that are touched in part, or not at all though needed."""
        for group in groups(self.side):
            some = any(touch.name in self.places for touch in group.touches)
            if (some or group.needed) and not self.has(group.name):
                yield group

    def data(self) -> dict[str, Any]:
        kept: dict[str, Any] = {name: list(place) for name, place in self.places.items()}
        return {"side": self.side, "places": kept, "rule_mm": self.rule_mm}

    @classmethod
    def read(cls, data: Mapping[str, Any]) -> Touched:
        places = {name: (x, y) for name, (x, y) in data["places"].items() if name in NAMES}
        return cls(side=data["side"], places=places, rule_mm=data.get("rule_mm"))


def in_pixels(photograph: Photograph, place: Point) -> Point:
    return (place[0] * photograph.width, place[1] * photograph.height)


def limb(photograph: Photograph, touched: Touched, group: str) -> Limb:
    """The arm or the sleeve in pixels; the group must be touched whole."""
    top, elbow, end = (
        in_pixels(photograph, touched.places[f"{group}_{part}"]) for part in ("top", "elbow", "end")
    )
    return Limb(top=top, elbow=elbow, end=end)


def seen_from(photograph: Photograph) -> SeenFrom | None:
    """From where it was taken, as the geometry has it; None for a detail."""
    if photograph.view == PhotographView.DETAIL:
        return None
    return SeenFrom(photograph.view)


def side_of(photograph: Photograph, asked: str) -> str:
    """Whose arm: as the photograph says, else as asked for, else the one nearer to the camera."""
    if photograph.side:
        return photograph.side
    if asked in {Side.LEFT, Side.RIGHT}:
        return asked
    return str(Side.RIGHT if photograph.view == PhotographView.RIGHT else Side.LEFT)
