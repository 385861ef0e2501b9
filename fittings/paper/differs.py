"""What differs from the last paper: lines new, changed or left out, and facts that changed.

Told of what the maker works from: the work, amounts, iron, inlay and warnings. A reason read again
is no other work. Old amounts are in mm, as the large ones on the paper are.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.utils.dateformat import format as dated
from django.utils.translation import gettext

from fittings.models import InlayPlace, Side
from fittings.paper.words import is_english, length, say

Content = Mapping[str, Any]

NEW: Final = "new"
CHANGED: Final = "changed"
LEVELS: Final = ("head", "elbow", "cuff")
LEAST_MM: Final = 0.05
TOLD: Final = ("do", "do_not", "limits", "warnings", "moves_too")
FACTS: Final = (
    ("Due", "order", "promised_on"),
    ("Maker", "order", "maker"),
    ("Cloth", "order", "cloth"),
    ("Style", "order", "style"),
    ("Garment", "order", "garment"),
    ("Stage", "fitting", "stage"),
    ("Pattern", "pattern", "number"),
)
# Facts that are words of the shop's own lists; the others are names and what was typed.
NAMED: Final = ("garment", "stage")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """The mark in the margin of one line: `kind` "new" or "changed", and from what to what."""

    kind: str
    said: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Differs:
    """By position of the line on this paper; and what stands on no line of it."""

    lines: Mapping[int, Mark]
    left_out: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()

    @property
    def is_same(self) -> bool:
        return not (self.lines or self.left_out or self.facts)


def differs(content: Content, last: Content | None, unit: str = "mm") -> Differs:
    """This paper against the one it supersedes; nothing where it supersedes none."""
    if last is None:
        return Differs(lines={})
    before = {_work(line): line for line in last.get("lines", ())}
    marks = {}
    for position, line in enumerate(content.get("lines", ()), start=1):
        old = before.pop(_work(line), None)
        mark = Mark(kind=NEW) if old is None else _changed(old, line, unit)
        if mark is not None:
            marks[position] = mark
    left_out = tuple(
        f"{say(str(Side(line['side']).label), unit)}: {say(line['title'], unit)}"
        for line in before.values()
    )
    return Differs(lines=marks, left_out=left_out, facts=tuple(_facts(last, content)))


def _work(line: Content) -> tuple[str, str]:
    return line["side"], line["key"]


def _changed(old: Content, new: Content, unit: str) -> Mark | None:
    said = [
        *_retitled(old, new, unit),
        *_listed(_amounts(old), _amounts(new)),
        *_retold(old, new, unit),
    ]
    return Mark(kind=CHANGED, said=tuple(said)) if said else None


def _told(template: str, **words: str) -> str:
    """The template in the language of the paper, with these words put in."""
    told = gettext(template)
    for name, word in words.items():
        told = told.replace(f"{{{name}}}", word)
    return told.strip()


def _retitled(old: Content, new: Content, unit: str) -> Iterable[str]:
    if old["title"] != new["title"]:
        yield _told("was: {text}", text=say(old["title"], unit))


def _amounts(line: Content) -> dict[str, tuple[str, str]]:
    """What is done and how far, by what it is done to."""
    found = {}
    for move in line.get("moves", ()):
        edge = f"{say(move['piece'], 'mm')}, {say(move['edge'], 'mm')}"
        found[edge] = say(move["direction"], "mm"), _at(move["mm"])
    for iron in line.get("iron", ()):
        place = _told("iron, {place}", place=say(iron["place"], "mm"))
        found[place] = say(iron["how"], "mm"), length(iron["amount_mm"])
    for need in line.get("inlay", ()):
        place = say(str(InlayPlace(need["place"]).label), "mm")
        found[_told("inlay at the {place}", place=place)] = "", length(need["needed_mm"])
    return found


def _at(mm: Mapping[str, float]) -> str:
    moved = [(level, mm.get(level, 0)) for level in LEVELS if mm.get(level, 0) >= LEAST_MM]
    if "here" in mm:
        moved = [("", mm["here"])]
    if len({round(amount, 1) for _, amount in moved}) == 1:
        return length(moved[0][1])
    return ", ".join(f"{length(amount)} {say(f'at the {level}', 'mm')}" for level, amount in moved)


def _listed(
    old: Mapping[str, tuple[str, str]], new: Mapping[str, tuple[str, str]]
) -> Iterable[str]:
    """Edges that changed alike are named together."""
    alike: dict[str, list[str]] = {}
    for what in (*new, *(what for what in old if what not in new)):
        if old.get(what) != new.get(what):
            alike.setdefault(_from_to(old.get(what), new.get(what)), []).append(what)
    for said, whats in alike.items():
        yield f"{(' and ' if is_english() else ' + ').join(whats)}: {said}"


def _from_to(old: tuple[str, str] | None, new: tuple[str, str] | None) -> str:
    if old is None:
        return _told("new")
    if new is None:
        return _told("left out, was {old}", old=" ".join(old).strip())
    if old[0] == new[0]:
        return _told("{direction} {new}, was {old}", direction=new[0], new=new[1], old=old[1])
    return _told("now {new}, was {old}", new=" ".join(new), old=" ".join(old))


def _retold(old: Content, new: Content, unit: str) -> Iterable[str]:
    """Sentences to work by that were added or left out."""
    for name in TOLD:
        before, now = old.get(name, ()), new.get(name, ())
        for sentence in now:
            if sentence not in before:
                yield _told("added: {text}", text=say(sentence, unit))
        for sentence in before:
            if sentence not in now:
                yield _told("left out: {text}", text=say(sentence, unit))
    if bool(old.get("provisional")) != bool(new.get("provisional")):
        yield _told("now provisional" if new.get("provisional") else "no longer provisional")


def _facts(last: Content, content: Content) -> Iterable[str]:
    for label, part, name in FACTS:
        old, new = last[part].get(name), content[part].get(name)
        if old != new:
            yield _told(
                "{label}: from {old} to {new}",
                label=gettext(label),
                old=_fact(name, old),
                new=_fact(name, new),
            )


def _fact(name: str, value: str | None) -> str:
    if not value:
        return _told("none")
    if name == "promised_on":
        return dated(dt.date.fromisoformat(value), "D j M Y")
    return say(value.lower(), "mm") if name in NAMED and not is_english() else value
