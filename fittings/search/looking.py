"""Looking up what was typed among one kind: every word somewhere in what is kept; else with one
letter wrong."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import Any, Final

from django.db import connection
from django.db.models import (
    BigAutoField,
    Case,
    IntegerField,
    Lookup,
    Q,
    QuerySet,
    TextField,
    Value,
    When,
)

from fittings.models import Findable, FindableKind
from fittings.models.findable import APART
from fittings.search.folding import FEWEST_LETTERS, sought

# Below this a wrong letter leaves too little of a word to know it by.
FEWEST_FOR_A_FAULT: Final = 4
# The index knows pieces of three letters and more.
PIECE: Final = 3
# Of so many times as many rows as are wanted it is asked first whether they are enough.
PEEK: Final = 50
# How well the first word is met: it stands whole, it begins a word, it is within one.
RUNGS: Final = (0, 1, 2)
# Of SQLite's index.
BY_LETTERS: Final = (
    "fittings_letters.rowid = fittings_findable.id",
    "fittings_letters MATCH %s",
    "fittings_letters.rowid BETWEEN %s AND %s",
)


@TextField.register_lookup
class Like(Lookup[Any]):
    """`folded__like="% mu_ler %"`; folded words hold no sign that needs escaping."""

    lookup_name = "like"

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        left, left_params = self.process_lhs(compiler, connection)
        right, right_params = self.process_rhs(compiler, connection)
        return f"{left} LIKE {right}", (*left_params, *right_params)


@TextField.register_lookup
class Lettered(Like):
    """As `like`, by the letters' index of PostgreSQL. That lies over what differs from the words in
    this alone, that PostgreSQL cannot guess how many rows hold a word, and so asks the index. It
    guesses for all kinds together: for a word of many orders it would read all customers."""

    lookup_name = "lettered"

    def process_lhs(self, compiler: Any, connection: Any, lhs: Any = None) -> tuple[str, Any]:
        left, params = super().process_lhs(compiler, connection, lhs)
        return (f"({left} || '')" if connection.vendor == "postgresql" else left), params


@BigAutoField.register_lookup
class Held(Lookup[Any]):
    """`pk__held={3, 5}`: as `in`, but handed over as one value: thousands of keys cost no more than
    a few to write down, and the database knows how many they are."""

    lookup_name = "held"
    prepare_rhs = False

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        left, params = self.process_lhs(compiler, connection)
        keys = sorted(self.rhs)
        if connection.vendor == "sqlite":
            each = "SELECT value FROM json_each(%s)"
            return f"{left} IN ({each})", (*params, json.dumps(keys))
        return f"{left} = ANY(%s)", (*params, keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The folded words looked for among one kind; without any nothing is found. With `wrong_letter`
    each word of four letters and more may have one letter other, missing or too many, or two
    changed about. With a `rung` only those that meet the first word just so."""

    kind: FindableKind
    words: tuple[str, ...]
    wrong_letter: bool = False
    rung: int | None = None

    def rows(self) -> QuerySet[Findable]:
        """All that is found, by reading one row after the other."""
        return self._holding(Findable.objects.filter(kind=self.kind))

    def by_letters(self) -> QuerySet[Findable]:
        """The same, by the index of letters."""
        if not self.words:
            return Findable.objects.none()
        if connection.vendor == "sqlite":
            return self.by_fts(self.kind, self.kind)
        rows = self.rows()
        for one_of in self._pieces():
            said = Q()
            for together in one_of:
                said |= Q(*(("folded__lettered", f"%{piece}%") for piece in together))
            rows = rows.filter(said)
        return rows

    def by_fts(self, first: FindableKind, last: FindableKind) -> QuerySet[Findable]:
        """By SQLite's index, of this and that kind and those between."""
        # Of what is written exactly so the index says no more and no less than LIKE.
        rows = Findable.objects.all()
        rows = self._holding(rows) if self.wrong_letter else rows
        return rows.extra(  # noqa: S610 # nosec B610
            tables=["fittings_letters"],
            where=BY_LETTERS,
            params=[self._match(), first.base, last.base + APART - 1],
        )

    def keys(self, most: int) -> list[int]:
        """The keys of the things found, so many at most and in no order."""
        return list(self.by_letters().values_list("object_id", flat=True)[:most])

    def best(self, most: int, of: list[int] | None = None) -> list[int]:
        """The keys of the first so many, best first, `of` all that are found, where they are known.
        Of many they are looked for on one rung after the other, for very many stand on one."""
        if not self.words:
            return []
        if of is not None:
            rows = Findable.objects.filter(pk__held={self.kind.base + key for key in of})
            rows = best_first(rows, self.words)
            return list(rows.values_list("object_id", flat=True)[:most])
        first: list[int] = []
        for rung in RUNGS:
            if len(first) < most:
                first += replace(self, rung=rung)._in_order(most - len(first))
        return first

    def _in_order(self, most: int) -> list[int]:
        """Enough among the first rows of the kind, as there are where very many are found; else all
        are gathered."""
        kind = Findable.objects.filter(kind=self.kind).order_by("folded", "pk")
        peek = kind.values("pk")[: PEEK * most]
        for rows in (self._holding(Findable.objects.filter(pk__in=peek)), self.by_letters()):
            in_order = rows.order_by("folded", "pk").values_list("object_id", flat=True)
            if len(found := list(in_order[:most])) == most:
                break
        return found

    def _holding(self, rows: QuerySet[Findable]) -> QuerySet[Findable]:
        if not self.words:
            return rows.none()
        for word in self.words:
            said = Q()
            for pattern in one_letter_off(word) if self._faulty(word) else [f"%{_within(word)}%"]:
                said |= Q(folded__like=pattern)
            rows = rows.filter(said)
        whole, begins = (Q(folded__like=f"% {self.words[0]}{end}") for end in (" %", "%"))
        return rows.filter({None: Q(), 0: whole, 1: begins & ~whole, 2: ~begins}[self.rung])

    def _pieces(self) -> list[list[tuple[str, ...]]]:
        """Letters that stand together in whatever is found: in each row one of each list, all of
        it."""
        each: list[list[tuple[str, ...]]] = [
            pieces(word) if self._faulty(word) else [(_within(word),)] for word in self.words
        ]
        if self.rung in {0, 1}:
            each.append([(f" {self.words[0]}{'' if self.rung else ' '}",)])
        return each

    def _match(self) -> str:
        """The pieces as SQLite's index is asked for them; folded words hold letters and digits
        only, so nothing in them ends a quotation."""
        said = " AND ".join(
            "({})".format(" OR ".join("({})".format(" AND ".join(map(_quoted, one))) for one in of))
            for of in self._pieces()
        )
        but = {1: f" {self.words[0]} ", 2: f" {self.words[0]}"}
        return f"({said}) NOT {_quoted(but[self.rung])}" if self.rung in but else said

    def _faulty(self, word: str) -> bool:
        return self.wrong_letter and len(word) >= FEWEST_FOR_A_FAULT


def asked(kind: FindableKind, typed: str, *, wrong_letter: bool = False) -> Asked:
    return Asked(kind=kind, words=tuple(sought(typed)), wrong_letter=wrong_letter)


def keys_of_each(looked_for: list[Asked], most: int) -> list[list[int]]:
    """The keys found among kinds that are asked for the same, so many at most of each."""
    one = looked_for[0]
    if one.words and connection.vendor == "sqlite":
        # One index holds all kinds: where few are found it is asked but once.
        rows = one.by_fts(one.kind, looked_for[-1].kind).values_list("kind", "object_id")
        if len(found := list(rows[: most + 1])) <= most:
            return [[key for kind, key in found if kind == one.kind] for one in looked_for]
    return [one.keys(most) for one in looked_for]


def best_first(rows: QuerySet[Findable], words: tuple[str, ...]) -> QuerySet[Findable]:
    """Those with the first word whole before those that only begin with it or hold it."""
    place = Case(
        When(folded__like=f"% {words[0]} %", then=Value(0)),
        When(folded__like=f"% {words[0]}%", then=Value(1)),
        default=Value(2),
        output_field=IntegerField(),
    )
    return rows.order_by(place, "folded", "pk")


def _within(word: str) -> str:
    """Anywhere in a word; two letters only at the beginning of one."""
    return f" {word}" if len(word) == FEWEST_LETTERS else word


def one_letter_off(word: str) -> list[str]:
    """The whole word with one letter other, one more, one less, or two changed about."""
    cuts = [(word[:n], word[n:]) for n in range(len(word) + 1)]
    other = [f"{before}_{after[1:]}" for before, after in cuts if after]
    less = [f"{before}_{after}" for before, after in cuts]
    more = [f"{before}{after[1:]}" for before, after in cuts if after]
    about = [f"{before}{after[1]}{after[0]}{after[2:]}" for before, after in cuts if len(after) > 1]
    return [f"% {one} %" for one in dict.fromkeys([word, *other, *less, *more, *about])]


def pieces(word: str) -> list[tuple[str, ...]]:
    """What stands before and behind a fault, wherever it is, is there, and the index knows it by
    three letters and more; or two letters are changed about. Without what another of them finds."""
    whole = f" {word} "
    each: list[tuple[str, ...]] = [
        tuple(one for one in (whole[:n], whole[n + 1 :]) if len(one) >= PIECE)
        for n in range(1, len(whole) - 1)
    ]
    each += [(f"{whole[:n]}{whole[n + 1]}{whole[n]}{whole[n + 2 :]}",) for n in range(1, len(word))]
    each = list(dict.fromkeys(each))
    return [one for one in each if not any(_found_by(one, more) for more in each if more != one)]


def _found_by(one: tuple[str, ...], more: tuple[str, ...]) -> bool:
    return all(any(piece in longer for longer in one) for piece in more)


def _quoted(letters: str) -> str:
    return f'"{letters}"'
