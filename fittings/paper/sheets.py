"""What a work ticket says, side by side: the issued content put into the order of the paper.

Lengths are in mm; `beside` holds the same in the reader's unit, where that is another. Words are in
the language that is active (`words.say`); what is compared is compared in English before.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from itertools import groupby
from typing import Any, Final

from django.utils.translation import gettext

from fittings.models import InlayPlace, Side
from fittings.paper.differs import Differs, Mark, differs
from fittings.paper.words import as_written, capital, length, say, say_each, upper

Content = Mapping[str, Any]

LEVELS: Final = ("head", "elbow", "cuff")
LEAST_MM: Final = 0.05
# Titles, readings and what is predicted are said in mm alone: the amounts to work by stand large.
READ_IN: Final = "mm"
# What stands beside the large amount in mm, for a reader of each unit.
BESIDE: Final = {"mm": (), "cm": ("cm",), "in": ("in",), "both": ("cm", "in")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One length as it is printed, and where along the sleeve it holds ("" when all along).

    `besides`: the same in the other units of the reader.
    """

    mm: str
    besides: tuple[str, ...] = ()
    level: str = ""

    @property
    def beside(self) -> str:
        return ", ".join(self.besides)

    @property
    def is_wide(self) -> bool:
        """Whether it takes more room than 2.3 mm or 40 mm: it has three figures."""
        return sum(sign.isdigit() for sign in self.mm) > 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Which edge of which piece goes which way."""

    place: str
    direction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """How far, at each level that differs; what goes by that amount; and how the amount acts."""

    amounts: tuple[Amount, ...]
    ways: tuple[Way, ...]
    acts: str
    measured_from: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Iron:
    amount: Amount
    how: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlay:
    """Cloth a line uses: what was left there and what then remains."""

    place: str
    needed: str
    left: str
    remains: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One line of a ticket."""

    position: int
    title: str
    acts: tuple[Act, ...]
    iron: tuple[Iron, ...]
    inlays: tuple[Inlay, ...]
    because: str
    do: tuple[str, ...]
    do_not: tuple[str, ...]
    look_out: tuple[str, ...]
    moves_too: tuple[str, ...]
    expected: str
    provisional: bool
    decided: str
    # Worked on the garment alone: whoever cuts the next one must be told.
    garment_only: bool = False
    mark: Mark | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """All the work on one side."""

    side: str
    words: str
    works: tuple[Work, ...]
    questions: tuple[str, ...] = ()

    @property
    def large(self) -> str:
        return upper(self.words)

    @property
    def signs(self) -> int:
        """How much is said: the letters of all its work."""
        return _signs(self.works)

    @property
    def all_provisional(self) -> bool:
        return all(work.provisional for work in self.works)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """The sides that have work, left first; and what is still asked of a side that has none."""

    sides: tuple[Sheet, ...]
    asked_elsewhere: tuple[str, ...]
    differs: Differs


def sheets(
    content: Content, unit: str, last: Content | None = None, *, told_in: str = ""
) -> Sheets:
    """The content of a ticket, for a reader of this unit; `last`: of the paper it supersedes.

    `told_in`: the unit of its sentences, where that is another than of its amounts.
    """
    told_in = told_in or unit
    against = differs(content, last, told_in)
    sided = [
        (line["side"], replace(_work(n, line, unit, told_in), mark=against.lines.get(n)))
        for n, line in enumerate(content.get("lines", ()), start=1)
    ]
    asked = list(content.get("questions", ()))
    garment = content.get("order", {}).get("garment", "coat").lower()
    sides = [
        Sheet(
            side=side.value,
            words=say(f"the {garment}" if side == Side.BODY else str(side.label), unit),
            works=works,
            questions=tuple(_asked_of(side, asked)),
        )
        for side in (Side.LEFT, Side.RIGHT, Side.BODY)
        if (works := tuple(work for of, work in sided if of == side))
    ]
    with_work = tuple(f"{Side(sheet.side).label}: " for sheet in sides)
    elsewhere = [q for q in asked if not q.startswith(with_work)]
    return Sheets(
        sides=tuple(replace(sheet, questions=_asked(sheet, told_in)) for sheet in sides),
        asked_elsewhere=tuple(_of_side(q, told_in) for q in elsewhere),
        differs=against,
    )


def _signs(said: object) -> int:
    if isinstance(said, str):
        return len(said)
    if is_dataclass(said):
        said = tuple(getattr(said, part.name) for part in fields(said))
    return sum(map(_signs, said)) if isinstance(said, tuple) else 0


def _asked_of(side: Side, questions: Iterable[str]) -> list[str]:
    mine = f"{side.label}: "
    return [q.removeprefix(mine) for q in questions if q.startswith(mine)]


def _asked(sheet: Sheet, unit: str) -> tuple[str, ...]:
    return tuple(say_each(question, unit) for question in sheet.questions)


def _of_side(question: str, unit: str) -> str:
    side, _, asked = question.partition(": ")
    return f"{say(side, unit)}: {say_each(asked, unit)}"


def _work(position: int, line: Content, unit: str, told_in: str) -> Work:
    return Work(
        position=position,
        title=say(line["title"], READ_IN),
        acts=tuple(_acts(line.get("moves", ()), unit)),
        iron=tuple(_iron(work, unit) for work in line.get("iron", ())),
        # Where nobody wrote down what is left, the line's limits say so with the place.
        inlays=tuple(
            _inlay(need, unit) for need in line.get("inlay", ()) if need["left_mm"] is not None
        ),
        because=say_each(line["because"], READ_IN),
        do=_all_said(line.get("do", ()), told_in),
        do_not=_all_said(line.get("do_not", ()), told_in),
        look_out=_all_said((*line.get("limits", ()), *line.get("warnings", ())), told_in),
        moves_too=_all_said(line.get("moves_too", ()), told_in),
        expected=say(line.get("predicted", ""), READ_IN),
        provisional=bool(line.get("provisional")),
        decided=_decided(line),
        garment_only=not line.get("on_pattern", True),
    )


def _decided(line: Content) -> str:
    """What the fitter said where it is not what was proposed; otherwise the fitter signed it."""
    if line.get("verdict") == "amended":
        template = gettext("Amended by {who}: {reason}")
        told = template.replace("{who}", line["decided_by"])
        return told.replace("{reason}", as_written(line["reason"]))
    return ""


def _all_said(sentences: Iterable[str], unit: str) -> tuple[str, ...]:
    return tuple(say(sentence, unit) for sentence in sentences)


def _acts(moves: Iterable[Content], unit: str) -> Iterable[Act]:
    """Moves one after another by the same amounts, in the same way, share one large amount."""
    shared = groupby(moves, lambda move: (move["mm"], move["acts"], move["measured_from"]))
    for (at, acts, measured_from), alike in shared:
        yield Act(
            amounts=tuple(_amounts(at, unit)),
            ways=tuple(
                Way(
                    place=_place(move["piece"], move["edge"]),
                    direction=say(move["direction"], unit),
                )
                for move in alike
            ),
            acts=capital(say(acts, unit)),
            measured_from=say(measured_from, unit),
        )


def _place(piece: str, edge: str) -> str:
    """Piece and edge, the piece left out where the edge names it."""
    named = (edge,) if piece in edge else (piece, edge)
    return capital(", ".join(say(name, "mm") for name in named))


def _amounts(at: Mapping[str, float], unit: str) -> Iterable[Amount]:
    """One amount where the levels agree or only one moves; else each with its level.

    Work on the garment itself has one place, and so one amount: {"here": mm}.
    """
    if "here" in at:
        return [amount(at["here"], unit)]
    moved = [(level, at[level]) for level in LEVELS if at[level] >= LEAST_MM]
    if len(moved) == 1:
        return [amount(moved[0][1], unit)]
    if len(moved) == len(LEVELS) and max(at.values()) - min(at.values()) < LEAST_MM:
        return [amount(moved[0][1], unit, say("all along", unit))]
    return [amount(mm, unit, say(f"at the {level}", unit)) for level, mm in moved]


def amount(mm: float, unit: str, level: str = "") -> Amount:
    """Always in mm; in cm or inches beside it for who reads those, "about" past a quarter mm."""
    besides = tuple(length(mm, other) for other in BESIDE[unit])
    return Amount(mm=length(mm), besides=besides, level=level)


def _iron(work: Content, unit: str) -> Iron:
    return Iron(
        amount=amount(work["amount_mm"], unit),
        how=say(work["how"], unit),
        place=capital(say(work["place"], unit)),
    )


def _inlay(need: Content, unit: str) -> Inlay:
    left = need["left_mm"]
    return Inlay(
        place=say(str(InlayPlace(need["place"]).label), unit),
        needed=_both(need["needed_mm"], unit),
        left=_both(left, unit),
        remains=_both(max(0.0, left - need["needed_mm"]), unit),
    )


def _both(mm: float, unit: str) -> str:
    """In mm, and once more for who reads another unit: 8 mm (about 3/8 in)."""
    besides = amount(mm, unit).besides
    return f"{length(mm)} ({besides[-1]})" if besides else length(mm)
