"""The sheets of the shop at a glance, against small shops counted by hand."""

import csv
import datetime as dt
import io
from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone
from statsmodels.stats.proportion import proportion_confint

from fittings.glance.period import Period
from fittings.glance.recurring import recurring
from fittings.glance.sheet import Bars, Sheet, as_rows, for_eyes
from fittings.glance.sheets import (
    fittings_per_garment,
    in_hand,
    returns,
    suggestions,
    tickets_late,
)
from fittings.models import Decision, Fitting, Need, TicketLine
from patterns.models import PatternVersion
from patterns.spreadsheets import written
from tests.factories import (
    CustomerFactory,
    FittingFactory,
    OrderFactory,
    PatternFactory,
    PatternVersionFactory,
    TicketFactory,
)

TODAY = dt.date(2026, 6, 17)  # a Wednesday
EVER = Period(first=None, last=TODAY, words="since the beginning")


def held(**more: Any) -> Fitting:
    return FittingFactory(signed_at=timezone.now(), held_on=dt.date(2026, 3, 1), **more)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "make", [fittings_per_garment, suggestions, tickets_late, returns, in_hand, recurring]
)
def test_an_empty_shop_has_sheets_without_rows(make: Callable[[Period, str], Sheet]) -> None:
    assert make(EVER, "mm").rows == ()


@pytest.mark.django_db
def test_fittings_are_counted_per_garment_and_unsigned_ones_left_out() -> None:
    once, twice = OrderFactory(), OrderFactory()
    held(order=once)
    held(order=twice)
    held(order=twice)
    FittingFactory(order=once)
    (row,) = fittings_per_garment(EVER, "mm").rows
    assert row == ("Coat", 1, 1, 0, 0, 1.5)


def decided(verdict: str, fitting: Fitting) -> None:
    Decision.objects.create(
        fitting=fitting,
        side="left",
        key="pitch:pitch",
        proposal={},
        verdict=verdict,
        decided_at=dt.datetime(2026, 3, 1, tzinfo=dt.UTC),
        decided_by=fitting.fitter,
    )


@pytest.mark.django_db
def test_suggestions_are_told_by_what_became_of_them() -> None:
    for verdict in ("accepted", "accepted", "amended", "refused"):
        decided(verdict, held())
    (row,) = suggestions(EVER, "mm").rows
    assert row == ("Turn in the armhole", 2, 1, 1, "50%")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("promised", "done", "state"),
    [
        (dt.date(2026, 5, 1), dt.date(2026, 4, 30), "In time"),
        (dt.date(2026, 5, 1), dt.date(2026, 5, 2), "Late"),
        (dt.date(2026, 5, 1), None, "Late"),
        (dt.date(2026, 7, 1), None, "Not due yet"),
        (None, None, "No day promised"),
    ],
)
def test_a_ticket_is_late_when_a_line_was_done_after_the_promised_day_or_is_still_open(
    promised: dt.date | None, done: dt.date | None, state: str
) -> None:
    ticket = TicketFactory(
        fitting__order__promised_on=promised, issued_at=dt.datetime(2026, 4, 2, 9, tzinfo=dt.UTC)
    )
    at = done and dt.datetime.combine(done, dt.time(12), tzinfo=dt.UTC)
    TicketLine.objects.create(ticket=ticket, position=1, content={}, done_at=at)
    sheet = tickets_late(EVER, "mm")
    (row,) = sheet.rows
    assert row[0] == "Apr 2026"
    assert dict(zip(sheet.columns[1:], row[1:], strict=True)) == {
        name: int(name == state) for name in sheet.columns[1:]
    }


@pytest.mark.django_db
def test_a_garment_came_back_when_it_was_fitted_after_delivery() -> None:
    held(order=OrderFactory(stage="delivered"), stage="delivered")
    held(order=OrderFactory(stage="delivered"), stage="finish")
    held(order=OrderFactory(stage="finish"), stage="finish")
    assert returns(EVER, "mm").rows == (("Coat", 2, 1, "50%"),)


@pytest.mark.django_db
def test_work_in_hand_stands_by_the_week_it_is_promised_for() -> None:
    for day in (dt.date(2026, 6, 16), dt.date(2026, 6, 19), dt.date(2026, 6, 30), None):
        OrderFactory(promised_on=day)
    OrderFactory(promised_on=dt.date(2026, 12, 1))
    OrderFactory(promised_on=TODAY, stage="delivered")
    rows = in_hand(EVER, "mm").rows
    # 15 and 29 June 2026 are Mondays, by the calendar.
    assert [row[0] for row in rows] == [
        "late",
        "15 Jun 2026",
        "29 Jun 2026",
        "more than 8 weeks ahead",
        "no day promised",
    ]
    assert [row[-1] for row in rows] == [1, 1, 1, 1, 1]


def read_on_block(need_mm: float, *, customers: int, sleeves: int, block: str = "lean") -> None:
    version = PatternVersionFactory(pattern=PatternFactory(block=block))
    for _ in range(customers):
        fitting = held(order__customer=CustomerFactory(), pattern_version=version)
        for side in ("left", "right")[:sleeves]:
            Need.objects.create(
                fitting=fitting,
                side=side,
                rule="pitch",
                need_mm=need_mm,
                sigma_mm=0.7,
                measured=True,
                first=True,
            )


@pytest.mark.django_db
def test_what_recurs_on_a_block_is_said_with_wilsons_interval_by_customers() -> None:
    read_on_block(5.0, customers=9, sleeves=2)
    read_on_block(0.5, customers=2, sleeves=2)
    sheet = recurring(EVER, "mm")
    low, high = proportion_confint(18 / 22 * 11, 11, method="wilson")
    (row,) = sheet.rows
    assert row[0] == "lean: the cuff further forward"
    assert row[1:5] == (5.0, 18, 22, 11)
    assert sheet.bars.whiskers[0] == pytest.approx((low, high), abs=1e-9)
    assert sheet.said[0].startswith(
        "Sleeves of the lean need the cuff further forward by 5 mm: 18 of 22 sleeves, 11 customers"
    )


@pytest.mark.django_db
def test_a_block_of_seven_customers_is_shown_and_nothing_is_said_of_it() -> None:
    read_on_block(5.0, customers=7, sleeves=2)
    sheet = recurring(EVER, "mm")
    assert sheet.rows[0][-1] == "not yet"
    assert sheet.said == ("",)


@pytest.mark.django_db
def test_a_pattern_already_corrected_by_a_ticket_says_nothing_of_its_block() -> None:
    read_on_block(5.0, customers=9, sleeves=1)
    TicketFactory(pattern_after=PatternVersion.objects.get())
    assert recurring(EVER, "mm").rows == ()


def sheet_of(people: tuple[int, ...]) -> Sheet:
    labels = tuple(f"block {n}" for n in range(len(people)))
    return Sheet(
        slug="x",
        title="X",
        said=labels,
        columns=("Block", "Sleeves"),
        rows=tuple((label, 3) for label in labels),
        people=people,
        bars=Bars(labels=labels, series=(("s", (3.0,) * len(people)),), axis="sleeves"),
    )


def test_a_row_of_four_customers_is_left_out_for_those_who_may_not_see_people() -> None:
    seen = for_eyes(sheet_of((4, 5)), sees_people=False)
    assert seen.rows == (("block 1", 3),)
    assert seen.bars.labels == ("block 1",)
    assert seen.said == ("block 1",)
    assert "1 row is left out" in seen.note


def test_those_who_may_see_people_see_every_row() -> None:
    assert for_eyes(sheet_of((4, 1)), sees_people=True).rows == sheet_of((4, 1)).rows


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_a_block_named_like_a_formula_is_quoted_in_the_file(sign: str) -> None:
    named = f'{sign}HYPERLINK("x")'
    sheet = Sheet(
        slug="x",
        title="X",
        said=(),
        columns=("Block", "By, mm"),
        rows=((named, -3.5),),
        bars=Bars(labels=(), series=(), axis=""),
    )
    _, row = csv.reader(io.StringIO(written(as_rows(sheet)), newline=""))
    assert row == [f"'{named}", "-3.5"]


def test_a_month_ends_on_its_last_day() -> None:
    assert Period.of_month(2024, 2).last == dt.date(2024, 2, 29)
    assert Period.of_month(2026, 12).last == dt.date(2026, 12, 31)
