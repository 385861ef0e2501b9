"""Each sheet of the shop at a glance: added up by the database, one or two queries a sheet."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Callable, Mapping
from typing import Any, Final

from django.db.models import (
    BooleanField,
    Case,
    CharField,
    Count,
    Exists,
    IntegerField,
    OuterRef,
    Q,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import TruncMonth, TruncWeek
from django.utils.text import capfirst

from fittings.glance.period import Period
from fittings.glance.recurring import recurring
from fittings.glance.sheet import Bars, Sheet
from fittings.models import Decision, Fitting, Garment, Order, Stage, Ticket, TicketLine, Verdict
from patterns.rules.experience import CALLED
from patterns.rules.garment_catalogue import GARMENT_FINDINGS

MOST_FITTINGS: Final = 4
WEEKS_AHEAD: Final = 8
MONTHS_SHOWN: Final = 12
DAYS_SHOWN: Final = 366


def fittings_per_garment(period: Period, unit: str) -> Sheet:
    """How many signed fittings the orders of each garment had, of those that had any."""
    held = (
        Fitting.objects.filter(order=OuterRef("pk"), signed_at__isnull=False)
        .order_by()
        .values("order")
        .annotate(n=Count("pk"))
        .values("n")
    )
    rows = (
        Order.objects.filter(period.within("ordered_on"))
        .annotate(n=Subquery(held, output_field=IntegerField()))
        .filter(n__gt=0)
        .values("garment", "n")
        .annotate(orders=Count("pk"), people=Count("customer", distinct=True))
        .order_by("garment", "n")
    )
    counts: defaultdict[str, Counter[int]] = defaultdict(Counter)
    fittings: Counter[str] = Counter()
    people: Counter[str] = Counter()
    for row in rows:
        counts[row["garment"]][min(row["n"], MOST_FITTINGS)] += row["orders"]
        fittings[row["garment"]] += row["n"] * row["orders"]
        people[row["garment"]] = max(people[row["garment"]], row["people"])
    garments = [g for g in Garment.values if g in counts]
    steps = range(1, MOST_FITTINGS + 1)
    names = [_fittings(n) for n in steps]
    return Sheet(
        slug="fittings",
        title="Fittings per garment",
        said=(),
        columns=("Garment", *names, "Mean"),
        rows=tuple(
            (
                Garment(g).label,
                *(counts[g][n] for n in steps),
                round(fittings[g] / counts[g].total(), 2),
            )
            for g in garments
        ),
        people=tuple(people[g] for g in garments),
        bars=Bars(
            labels=tuple(str(Garment(g).label) for g in garments),
            series=tuple(
                (name, tuple(float(counts[g][n]) for g in garments))
                for n, name in zip(steps, names, strict=True)
            ),
            axis="orders",
        ),
        note="Signed fittings of orders that had one at least.",
    )


def _fittings(n: int) -> str:
    if n == MOST_FITTINGS:
        return f"{n} fittings or more"
    return "1 fitting" if n == 1 else f"{n} fittings"


def _called(rule: str) -> str:
    """What was proposed in the words of the trade: of a garment, by what was seen of it."""
    if rule in GARMENT_FINDINGS:
        return capfirst(GARMENT_FINDINGS[rule].name)
    return capfirst(CALLED.get(rule, "a finding of the shop's own").removeprefix("the "))


def suggestions(period: Period, unit: str) -> Sheet:
    """What became of what was proposed, by what was read."""
    rows = (
        Decision.objects.standing()
        .filter(period.within("decided_at", moment=True))
        .values("key", "verdict")
        .annotate(n=Count("pk"))
        .order_by("key")
    )
    counts: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for row in rows:
        counts[row["key"].partition(":")[2]][row["verdict"]] += row["n"]
    order = sorted(counts, key=lambda rule: (-counts[rule].total(), rule))
    labels = tuple(_called(rule) for rule in order)
    return Sheet(
        slug="suggestions",
        title="Suggestions accepted, amended, refused",
        said=(),
        columns=("Suggested", *(str(v.label) for v in Verdict), "Accepted as it was"),
        rows=tuple(
            (
                label,
                *(counts[rule][v] for v in Verdict.values),
                f"{counts[rule][Verdict.ACCEPTED] / counts[rule].total():.0%}",
            )
            for rule, label in zip(order, labels, strict=True)
        ),
        bars=Bars(
            labels=labels,
            series=tuple(
                (str(v.label).lower(), tuple(float(counts[rule][v.value]) for rule in order))
                for v in Verdict
            ),
            axis="suggestions",
        ),
    )


def tickets_late(period: Period, unit: str) -> Sheet:
    """Tickets by the month of issue: worked by the promised day, late, or not due yet."""
    lines = TicketLine.objects.filter(ticket=OuterRef("pk"))
    undone = Exists(lines.filter(done_at=None))
    late_line = Exists(lines.filter(done_at__date__gt=OuterRef("order__promised_on")))
    rows = (
        Ticket.objects.newest()
        .filter(period.at_most(DAYS_SHOWN).within("issued_at", moment=True))
        .annotate(
            month=TruncMonth("issued_at"),
            state=Case(
                When(order__promised_on=None, then=Value("no day promised")),
                When(Q(late_line), then=Value("late")),
                When(Q(undone) & Q(order__promised_on__lt=period.last), then=Value("late")),
                When(Q(undone), then=Value("not due yet")),
                default=Value("in time"),
                output_field=CharField(),
            ),
        )
        .values("month", "state")
        .annotate(n=Count("pk"))
        .order_by("month")
    )
    counts: dict[dt.date, Counter[str]] = {}
    for row in rows:
        counts.setdefault(row["month"].date(), Counter())[row["state"]] += row["n"]
    months = sorted(counts)[-MONTHS_SHOWN:]
    states = ("in time", "late", "not due yet", "no day promised")
    labels = tuple(f"{month:%b %Y}" for month in months)
    late = sum(counts[m]["late"] for m in months)
    return Sheet(
        slug="tickets",
        title="Tickets late",
        said=(f"{late} of {sum(counts[m].total() for m in months)} tickets were late.",),
        columns=("Issued in", *(s.capitalize() for s in states)),
        rows=tuple(
            (label, *(counts[month][s] for s in states))
            for month, label in zip(months, labels, strict=True)
        ),
        bars=Bars(
            labels=labels,
            series=tuple((s, tuple(float(counts[m][s]) for m in months)) for s in states),
            axis="tickets",
        ),
        note="Late: a line was done after the day the garment is promised for, or is not done yet "
        "though that day is over. Tickets of the last twelve months.",
    )


def returns(period: Period, unit: str) -> Sheet:
    """Delivered garments, and those that came back for a fitting afterwards."""
    back = Exists(Fitting.objects.filter(order=OuterRef("pk"), stage=Stage.DELIVERED))
    rows = (
        Order.objects.filter(period.within("ordered_on"), stage=Stage.DELIVERED)
        .annotate(back=back)
        .values("garment")
        .annotate(
            delivered=Count("pk"),
            returned=Count("pk", filter=Q(back=True)),
            people=Count("customer", distinct=True),
        )
    )
    found: Mapping[str, Mapping[str, Any]] = {row["garment"]: row for row in rows}
    garments = [g for g in Garment.values if g in found]
    labels = tuple(str(Garment(g).label) for g in garments)
    stayed = tuple(float(found[g]["delivered"] - found[g]["returned"]) for g in garments)
    came_back = tuple(float(found[g]["returned"]) for g in garments)
    return Sheet(
        slug="returns",
        title="Returns after delivery",
        said=(),
        columns=("Garment", "Delivered", "Came back", "Share that came back"),
        rows=tuple(
            (
                label,
                found[g]["delivered"],
                found[g]["returned"],
                f"{found[g]['returned'] / found[g]['delivered']:.0%}",
            )
            for g, label in zip(garments, labels, strict=True)
        ),
        people=tuple(found[g]["people"] for g in garments),
        bars=Bars(
            labels=labels,
            series=(("stayed out", stayed), ("came back", came_back)),
            axis="delivered garments",
        ),
        note="Came back: a fitting was held at the stage “delivered”.",
    )


def in_hand(period: Period, unit: str) -> Sheet:
    """Open orders by the week they are promised for, as they stand today."""
    today = period.last
    this_week = today - dt.timedelta(days=today.weekday())
    rows = (
        Order.objects.open()
        .annotate(
            week=TruncWeek("promised_on"),
            late=Case(
                When(promised_on__lt=today, then=True), default=False, output_field=BooleanField()
            ),
        )
        .values("week", "late", "stage")
        .annotate(n=Count("pk"))
    )
    counts: defaultdict[tuple[int, str], Counter[str]] = defaultdict(Counter)
    for row in rows:
        counts[_when(row["week"], row["late"], this_week)][row["stage"]] += row["n"]
    places = sorted(counts)
    stages = [s for s in Stage if s != Stage.DELIVERED]
    labels = tuple(words for _, words in places)
    return Sheet(
        slug="in-hand",
        title="Work in hand by promised date",
        said=(),
        columns=("Promised for the week of", *(str(s.label) for s in stages), "Together"),
        rows=tuple(
            (words, *(counts[at, words][s.value] for s in stages), counts[at, words].total())
            for at, words in places
        ),
        bars=Bars(
            labels=labels,
            series=tuple(
                (str(s.label).lower(), tuple(float(counts[p][s.value]) for p in places))
                for s in stages
            ),
            axis="orders in hand",
        ),
        note="As it stands today.",
    )


def _when(week: dt.date | None, late: bool, this_week: dt.date) -> tuple[int, str]:
    """Where a week stands in the list, and its words."""
    if week is None:
        return WEEKS_AHEAD + 2, "no day promised"
    if late:
        return -1, "late"
    ahead = (week - this_week).days // 7
    if ahead > WEEKS_AHEAD:
        return WEEKS_AHEAD + 1, f"more than {WEEKS_AHEAD} weeks ahead"
    return ahead, f"{week.day} {week:%b %Y}"


SHEETS: Final[Mapping[str, Callable[[Period, str], Sheet]]] = {
    "in-hand": in_hand,
    "recurring": recurring,
    "fittings": fittings_per_garment,
    "suggestions": suggestions,
    "tickets": tickets_late,
    "returns": returns,
}
