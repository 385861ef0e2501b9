"""The bench list: which tickets still ask for work, by when, whose they are, and how much it is."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from django.contrib.auth import get_user_model
from django.db.models import Count, Exists, F, OuterRef, Prefetch, Q, QuerySet
from django.db.models.fields.json import KT

from fittings.bench.minutes import Estimates, kind_of
from fittings.models import Maker, Question, Stage, Ticket, TicketLine

AHEAD: Final = dt.timedelta(days=7)
SOONEST_FIRST: Final = (F("order__promised_on").asc(nulls_last=True), "number")
NOBODY: Final = "nobody"

# Who has it in hand: the key of one of the shop, or of a maker outside.
Hands = tuple[int | None, int | None]

DUE: Final = {"": "any day", "late": "late", "week": "within a week, or late"}
WORK: Final = {"": "any work", "to-do": "to do", "to-check": "to check", "asked": "asked back"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A promised day in the words of who has to keep it."""

    day: dt.date | None
    words: str
    is_late: bool

    @classmethod
    def on(cls, day: dt.date | None, today: dt.date) -> Due:
        if day is None:
            return cls(day=None, words="no day promised", is_late=False)
        days = (day - today).days
        near = {-1: "late by a day", 0: "due today", 1: "due tomorrow"}
        far = f"late by {-days} days" if days < 0 else f"due in {days} days"
        return cls(day=day, words=near.get(days, far), is_late=days < 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBench:
    """One ticket as the bench list shows it; `minutes` of what is not done yet."""

    ticket: Ticket
    due: Due
    lines: list[TicketLine]
    minutes: int
    asked: int

    @property
    def to_do(self) -> int:
        return sum(line.done_at is None for line in self.lines)

    @property
    def to_check(self) -> int:
        return sum(line.done_at is not None and line.checked_at is None for line in self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What one maker has in hand; `key` is what the list is filtered by."""

    key: str
    name: str
    tickets: int
    lines: int
    minutes: int


def in_work() -> QuerySet[Ticket]:
    """The newest papers on which a line still waits to be done or checked."""
    waiting = TicketLine.objects.filter(checked_at=None).order_by().values("ticket")
    return Ticket.objects.newest().filter(pk__in=waiting, order__customer__erased_on=None)


def narrowed(rows: QuerySet[Ticket], wanted: dict[str, str], today: dt.date) -> QuerySet[Ticket]:
    """`wanted`: due, stage, maker and work as the links of the page have them; "" is everything."""
    if wanted["due"] == "late":
        rows = rows.filter(order__promised_on__lt=today)
    if wanted["due"] == "week":
        rows = rows.filter(order__promised_on__lte=today + AHEAD)
    if wanted["stage"] in Stage:
        rows = rows.filter(fitting__stage=wanted["stage"])
    return _of_work(_of_maker(rows, wanted["maker"]), wanted["work"])


def _of_maker(rows: QuerySet[Ticket], key: str) -> QuerySet[Ticket]:
    kind, _, number = key.partition("-")
    if key == NOBODY:
        return rows.filter(order__maker=None, order__outside_maker=None)
    if kind in {"person", "outside"} and number.isdecimal() and len(number) < 10:
        field = "order__maker" if kind == "person" else "order__outside_maker"
        return rows.filter(**{field: int(number)})
    return rows


def _of_work(rows: QuerySet[Ticket], work: str) -> QuerySet[Ticket]:
    lines = TicketLine.objects.filter(ticket=OuterRef("pk"))
    if work == "to-do":
        return rows.filter(Exists(lines.filter(done_at=None)))
    if work == "to-check":
        return rows.filter(Exists(lines.filter(checked_at=None).exclude(done_at=None)))
    if work == "asked":
        asked = Question.objects.open().filter(line__ticket__number=OuterRef("number"))
        return rows.filter(Exists(asked))
    return rows


def with_lines(rows: QuerySet[Ticket]) -> QuerySet[Ticket]:
    """Ordered, with what the list says of each; the papers' content stays where it is."""
    lines = TicketLine.objects.annotate(title=KT("content__title")).defer("content")
    return (
        rows.select_related("order__customer", "order__maker", "order__outside_maker", "fitting")
        .defer("content")
        .prefetch_related(Prefetch("lines", lines))
        .order_by(*SOONEST_FIRST)
    )


def on_bench(
    tickets: Iterable[Ticket], estimates: Estimates, asked: dict[str, int], today: dt.date
) -> list[OnBench]:
    found = []
    for ticket in tickets:
        lines = list(ticket.lines.all())
        waiting = [kind_of(line.operation, line.at_check) for line in lines if line.done_at is None]
        found.append(
            OnBench(
                ticket=ticket,
                due=Due.on(ticket.order.promised_on, today),
                lines=lines,
                minutes=estimates.in_all(waiting),
                asked=asked.get(ticket.number, 0),
            )
        )
    return found


def asked_by_number(numbers: Iterable[str]) -> dict[str, int]:
    """How many questions wait for an answer, by ticket number, over all its revisions."""
    open_now = Question.objects.open().filter(line__ticket__number__in=list(numbers)).order_by()
    return dict(open_now.values_list("line__ticket__number").annotate(Count("pk")))


def loads(estimates: Estimates) -> list[Load]:
    """Every maker with work in hand, the most first; work of nobody last."""
    tickets: dict[Hands, set[int]] = defaultdict(set)
    lines: dict[Hands, int] = defaultdict(int)
    minutes: dict[Hands, int] = defaultdict(int)
    for person, outside, ticket, operation, check, done_at in _waiting():
        maker = (person, outside)
        tickets[maker].add(ticket)
        if done_at is None:
            lines[maker] += 1
            minutes[maker] += estimates.of(kind_of(operation, check))
    names = _names(tickets)
    found = [
        Load(
            key=_key(*maker),
            name=names[maker],
            tickets=len(papers),
            lines=lines[maker],
            minutes=minutes[maker],
        )
        for maker, papers in tickets.items()
    ]
    return sorted(found, key=lambda load: (load.key == NOBODY, -load.minutes, load.name))


def _waiting() -> QuerySet[TicketLine, tuple[Any, ...]]:
    """Of each line in work: both makers, its ticket, operation and check, when it was done. One
    way through the lines not checked yet, which are few: grouping them apart asks for each twice.
    """
    later = Ticket.objects.filter(supersedes=OuterRef("ticket"))
    rows = TicketLine.objects.filter(
        ~Exists(later), checked_at=None, ticket__order__customer__erased_on=None
    )
    makers = ("ticket__order__maker", "ticket__order__outside_maker")
    return rows.order_by().values_list(*makers, "ticket", "operation", "at_check", "done_at")


def _key(person: int | None, outside: int | None) -> str:
    if person is not None:
        return f"person-{person}"
    return f"outside-{outside}" if outside is not None else NOBODY


def _names(
    makers: Iterable[Hands],
) -> dict[Hands, str]:
    people = get_user_model()._default_manager.filter(Q(pk__in=[p for p, _ in makers if p]))
    outside = Maker.objects.filter(pk__in=[o for _, o in makers if o])
    names = {("person", one.pk): str(one) for one in people}
    names |= {("outside", one.pk): str(one) for one in outside}
    return {
        (p, o): names[("person", p)] if p else names[("outside", o)] if o else "nobody yet"
        for p, o in makers
    }
