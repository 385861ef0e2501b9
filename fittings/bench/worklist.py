"""The bench list: which tickets still ask for work, by when, whose they are, and how much it is."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from django.contrib.auth import get_user_model
from django.db.models import (
    BooleanField,
    Count,
    Exists,
    ExpressionWrapper,
    F,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
)
from django.db.models.fields.json import KT

from fittings.bench.minutes import Estimates, kind_of
from fittings.models import Maker, Question, Stage, Ticket, TicketLine

AHEAD: Final = dt.timedelta(days=7)
SOONEST_FIRST: Final = (F("order__promised_on").asc(nulls_last=True), "number")
NOBODY: Final = "nobody"
A_MAKER: Final = re.compile(rf"{NOBODY}|(person|outside)-[0-9]+")

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
class InWork:
    """A paper in work: what the list is ordered and narrowed by, and what waits on its lines.

    `to_do`: the kinds of those not done yet; `to_check`: how many are done and not checked.
    """

    key: int
    number: str
    promised_on: dt.date | None
    stage: str
    hands: Hands
    to_do: tuple[str, ...]
    to_check: int


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


def in_work() -> list[InWork]:
    """The newest papers on which a line still waits to be done or checked, the soonest first.

    One way through the lines not checked yet, which are few: ordering, narrowing, counting and
    summing up in the database would each go that way again.
    """
    papers: defaultdict[tuple[Any, ...], list[tuple[str, bool]]] = defaultdict(list)
    for *paper, operation, check, is_done in _waiting():
        papers[tuple(paper)].append((kind_of(operation, check), is_done))
    found = [
        InWork(
            key=key,
            number=number,
            promised_on=day,
            stage=stage,
            hands=(person, outside),
            to_do=tuple(kind for kind, is_done in lines if not is_done),
            to_check=sum(is_done for _, is_done in lines),
        )
        for (key, number, day, stage, person, outside), lines in papers.items()
    ]
    return sorted(found, key=lambda one: (one.promised_on or dt.date.max, one.number))


def _waiting() -> QuerySet[TicketLine, tuple[Any, ...]]:
    """Of each line in work: its paper, with day, stage and both makers, its kind, is it done."""
    later = Ticket.objects.filter(supersedes=OuterRef("ticket"))
    rows = TicketLine.objects.filter(
        ~Exists(later), checked_at=None, ticket__order__customer__erased_on=None
    )
    order = "ticket__order__"
    paper = ("ticket", "ticket__number", f"{order}promised_on", "ticket__fitting__stage")
    makers = (f"{order}maker", f"{order}outside_maker")
    is_done = ExpressionWrapper(Q(done_at__isnull=False), BooleanField())
    return rows.order_by().values_list(*paper, *makers, "operation", "at_check", is_done)


def narrowed(papers: Iterable[InWork], wanted: dict[str, str], today: dt.date) -> list[InWork]:
    """`wanted`: due, stage, maker and work as the links of the page have them; "" is everything."""
    last = {"late": today - dt.timedelta(days=1), "week": today + AHEAD}.get(wanted["due"])
    if last is not None:
        papers = (one for one in papers if one.promised_on and one.promised_on <= last)
    if wanted["stage"] in Stage:
        papers = (one for one in papers if one.stage == wanted["stage"])
    if A_MAKER.fullmatch(wanted["maker"]):
        papers = (one for one in papers if _key(*one.hands) == wanted["maker"])
    return list(_of_work(papers, wanted["work"]))


def _of_work(papers: Iterable[InWork], work: str) -> Iterable[InWork]:
    if work == "to-do":
        return (one for one in papers if one.to_do)
    if work == "to-check":
        return (one for one in papers if one.to_check)
    if work == "asked":
        asked = set(Question.objects.open().values_list("line__ticket__number", flat=True))
        return (one for one in papers if one.number in asked)
    return papers


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


def loads(papers: Iterable[InWork], estimates: Estimates) -> list[Load]:
    """Every maker with work in hand, the most first; work of nobody last."""
    carried: defaultdict[Hands, list[InWork]] = defaultdict(list)
    for paper in papers:
        carried[paper.hands].append(paper)
    names = _names(carried)
    found = [
        Load(
            key=_key(*hands),
            name=names[hands],
            tickets=len(mine),
            lines=sum(len(paper.to_do) for paper in mine),
            minutes=sum(estimates.in_all(paper.to_do) for paper in mine),
        )
        for hands, mine in carried.items()
    ]
    return sorted(found, key=lambda load: (load.key == NOBODY, -load.minutes, load.name))


def _key(person: int | None, outside: int | None) -> str:
    if person is not None:
        return f"person-{person}"
    return f"outside-{outside}" if outside is not None else NOBODY


def _names(makers: Iterable[Hands]) -> dict[Hands, str]:
    people = get_user_model()._default_manager.filter(Q(pk__in=[p for p, _ in makers if p]))
    outside = Maker.objects.filter(pk__in=[o for _, o in makers if o])
    names = {("person", one.pk): str(one) for one in people}
    names |= {("outside", one.pk): str(one) for one in outside}
    return {
        (p, o): names[("person", p)] if p else names[("outside", o)] if o else "nobody yet"
        for p, o in makers
    }
