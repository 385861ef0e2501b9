"""Looking up what was typed: every word somewhere in what is kept; else with one letter wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.db import connection
from django.db.models import (
    Case,
    CharField,
    Exists,
    IntegerField,
    Lookup,
    OuterRef,
    Q,
    QuerySet,
    TextField,
    Value,
    When,
)
from django.db.models.expressions import RawSQL

from fittings.models import Findable, FindableKind
from fittings.search.folding import FEWEST_LETTERS, sought

# Below this a wrong letter leaves too little of a word to know it by.
FEWEST_FOR_A_FAULT: Final = 4
# The index knows pieces of three letters and more.
PIECE: Final = 3
MANY: Final = 10_000


@TextField.register_lookup
class Like(Lookup[Any]):
    """`folded__like="% mu_ler %"`; folded words hold no sign that needs escaping."""

    lookup_name = "like"

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        left, left_params = self.process_lhs(compiler, connection)
        right, right_params = self.process_rhs(compiler, connection)
        return f"{left} LIKE {right}", (*left_params, *right_params)


@CharField.register_lookup
class Among(Lookup[Any]):
    """`kind__among="order"`: equal, but not looked up by: SQLite would go by the index of kinds and
    ask of every row of the kind whether its letters were found."""

    lookup_name = "among"

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        left, left_params = self.process_lhs(compiler, connection)
        right, right_params = self.process_rhs(compiler, connection)
        aside = "+" if connection.vendor == "sqlite" else ""
        return f"{aside}{left} = {right}", (*left_params, *right_params)


def found(typed: str, *, wrong_letter: bool = False, narrow: bool = True) -> QuerySet[Findable]:
    """What holds every word that was typed; with `wrong_letter` each word of four letters and more
    may have one letter other, missing or too many, or two changed about. Nothing typed that could
    be looked for: nothing found. Not `narrow`: for rows that are looked up otherwise."""
    words = sought(typed)
    if not words:
        return Findable.objects.none()
    rows, letters = Findable.objects.all(), []
    for word in words:
        faulty = wrong_letter and len(word) >= FEWEST_FOR_A_FAULT
        patterns = one_letter_off(word) if faulty else [_within(word)]
        said = Q()
        for pattern in patterns:
            said |= Q(folded__like=pattern)
        rows = rows.filter(said)
        letters.append(_pieces_of_faulty(word) if faulty else _phrase(_within(word).strip("%")))
    return _narrowed(rows, " AND ".join(f"({one})" for one in letters)) if narrow else rows


def holding(rows: Any, typed: str, kind: FindableKind) -> Any:
    """Of these rows of one kind, as a queryset, what is found: exactly so, or with a wrong letter
    where nothing is exactly so."""
    found_now = keys(typed, kind)
    if isinstance(found_now, Many):
        return rows.filter(found_now.holds(kind, "pk"))
    return rows.filter(pk__in=found_now[kind])


@dataclass(frozen=True, slots=True, kw_only=True)
class Many:
    """So much is found that rows are sooner asked one by one than the found ones gathered."""

    typed: str
    wrong_letter: bool

    def holds(self, kind: FindableKind, key: str) -> Exists:
        """Whether the row of this key is among what is found of its kind."""
        each = found(self.typed, wrong_letter=self.wrong_letter, narrow=False)
        return Exists(each.filter(kind=kind, object_id=OuterRef(key)))


def keys(
    typed: str, *kinds: FindableKind, most: int | None = None
) -> dict[FindableKind, list[int]] | Many:
    """The keys of what is found of each kind; asked at once, a query or two: PostgreSQL would guess
    how many they are, and guess wrong. More than `most` (or MANY) are Many."""
    most = MANY if most is None else most
    of_kinds = Q(*(("kind__among", kind) for kind in kinds), _connector=Q.OR)
    some: list[tuple[str, int]] = []
    for wrong_letter in (False, True):
        rows = found(typed, wrong_letter=wrong_letter).filter(of_kinds).order_by()
        some = list(rows.values_list("kind", "object_id")[: most + 1])
        if len(some) > most:
            return Many(typed=typed, wrong_letter=wrong_letter)
        if some:
            break
    return {kind: [key for one, key in some if one == kind] for kind in kinds}


def best_first(rows: QuerySet[Findable], typed: str) -> QuerySet[Findable]:
    """Those with the first word whole before those that only begin with it or hold it."""
    word = (sought(typed) or [""])[0]
    place = Case(
        When(folded__like=f"% {word} %", then=Value(0)),
        When(folded__like=f"% {word}%", then=Value(1)),
        default=Value(2),
        output_field=IntegerField(),
    )
    return rows.order_by(place, "folded", "pk")


def _within(word: str) -> str:
    """Anywhere in a word; two letters only at the beginning of one."""
    return f"% {word}%" if len(word) == FEWEST_LETTERS else f"%{word}%"


def one_letter_off(word: str) -> list[str]:
    """The whole word with one letter other, one more, one less, or two changed about."""
    cuts = [(word[:n], word[n:]) for n in range(len(word) + 1)]
    other = [f"{before}_{after[1:]}" for before, after in cuts if after]
    less = [f"{before}_{after}" for before, after in cuts]
    more = [f"{before}{after[1:]}" for before, after in cuts if after]
    about = [f"{before}{after[1]}{after[0]}{after[2:]}" for before, after in cuts if len(after) > 1]
    return [f"% {one} %" for one in dict.fromkeys([word, *other, *less, *more, *about])]


def _pieces_of_faulty(word: str) -> str:
    """For SQLite's index: what stands before and behind the fault, wherever it is, is there."""
    whole = f" {word} "
    pieces = []
    for n in range(1, len(whole) - 1):
        beside = [one for one in (whole[:n], whole[n + 1 :]) if len(one) >= PIECE]
        pieces.append(" AND ".join(map(_phrase, beside)))
    swapped = (f"{whole[:n]}{whole[n + 1]}{whole[n]}{whole[n + 2 :]}" for n in range(1, len(word)))
    return " OR ".join(f"({one})" for one in [*pieces, *map(_phrase, swapped)] if one)


def _phrase(letters: str) -> str:
    """Folded words hold letters and digits only, so nothing in them ends the quotation."""
    return f'"{letters}"'


def _narrowed(rows: QuerySet[Findable], letters: str) -> QuerySet[Findable]:
    """SQLite is asked for the letters first; PostgreSQL uses its index for LIKE by itself."""
    if connection.vendor != "sqlite":
        return rows
    asked = "SELECT rowid FROM fittings_letters WHERE fittings_letters MATCH %s"
    of_index = RawSQL(asked, [letters])  # noqa: S611 # nosec B611
    return rows.filter(pk__in=of_index)
