"""For how long people's data are kept: told when it is over, and never done by itself."""

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from fittings.erasing.histories import PARTS
from fittings.erasing.listed import listed, write_down
from fittings.models import (
    ArmCarriage,
    Customer,
    Destroyed,
    FigureNote,
    KeptKind,
    KeptLonger,
    Measurement,
    MeasurementSet,
    Photograph,
    RetentionPeriods,
)
from fittings.retention.due import due, years_before
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import (
    ArmCarriageFactory,
    CustomerFactory,
    FigureNoteFactory,
    FittingFactory,
    MeasurementFactory,
    OrderFactory,
)
from tests.photographs.pictures import photographed

TODAY = dt.date(2026, 6, 1)


@pytest.fixture(autouse=True)
def _list_of_its_own(settings: Any, tmp_path: Path) -> None:
    settings.ERASURE_LIST = tmp_path / "erased.jsonl"


def kept(years: int | None, kind: str = "contact") -> RetentionPeriods:
    periods = RetentionPeriods.of_shop()
    setattr(periods, f"{kind}_years", years)
    periods.save()
    return periods


def ordered(day: dt.date, stage: str = "delivered") -> Customer:
    found: Customer = OrderFactory(ordered_on=day, stage=stage).customer
    return found


def is_due(kind: KeptKind, periods: RetentionPeriods) -> list[Customer]:
    return list(due(kind, periods, TODAY))


@pytest.mark.django_db
def test_nothing_is_due_while_the_shop_has_set_no_time() -> None:
    ordered(dt.date(1990, 1, 1))
    assert is_due(KeptKind.CONTACT, RetentionPeriods.of_shop()) == []


@pytest.mark.django_db
def test_due_is_whose_last_order_is_so_many_years_ago_to_the_day() -> None:
    past, newer = ordered(dt.date(2016, 6, 1)), ordered(dt.date(2016, 6, 2))
    OrderFactory(customer=newer, ordered_on=dt.date(2001, 1, 1), stage="delivered")
    long_past = ordered(dt.date(2009, 3, 3))
    assert is_due(KeptKind.CONTACT, kept(10)) == [past, long_past]


@pytest.mark.django_db
def test_whoever_has_an_order_in_hand_is_never_due() -> None:
    ordered(dt.date(2001, 1, 1), stage="baste")
    assert is_due(KeptKind.CONTACT, kept(10)) == []


@pytest.mark.django_db
def test_without_an_order_the_day_of_the_consent_counts() -> None:
    old = CustomerFactory(record_consent_on=dt.date(2012, 1, 1))
    CustomerFactory(record_consent_on=dt.date(2025, 1, 1))
    assert is_due(KeptKind.CONTACT, kept(10)) == [old]


@pytest.mark.django_db
def test_photographs_and_measures_are_due_only_where_there_are_any() -> None:
    fitting = FittingFactory(order__ordered_on=dt.date(2010, 1, 1), order__stage="delivered")
    photographed(fitting, fitting.fitter)
    measured = FigureNoteFactory(customer=ordered(dt.date(2010, 1, 1))).customer
    assert is_due(KeptKind.PHOTOGRAPHS, kept(2, "photographs")) == [fitting.order.customer]
    assert is_due(KeptKind.MEASURES, kept(2, "measures")) == [measured]


@pytest.mark.parametrize(
    ("day", "before"),
    [(dt.date(2028, 2, 29), dt.date(2018, 2, 28)), (dt.date(2026, 3, 1), dt.date(2016, 3, 1))],
)
def test_years_before_ends_on_a_day_that_there_is(day: dt.date, before: dt.date) -> None:
    assert years_before(day, 10) == before
    assert years_before(day, 32_000).year == 1900


def test_kept_longer_with_a_reason_it_is_due_again_on_the_day_said(owner: Signed) -> None:
    customer, day = ordered(dt.date(2010, 1, 1)), timezone.localdate()
    kept(10)
    at = reverse("keep-longer", args=[customer.pk, "contact"])
    answer = owner[0].post(at, {"reason": "", "until": day.isoformat()})
    assert answer.status_code == 422
    assert "Write a day that is still to come." in answer.content.decode()
    until = day + dt.timedelta(days=30)
    owner[0].post(at, {"reason": "comes every tenth year", "until": until.isoformat()})
    said = KeptLonger.objects.get()
    assert (said.reason, said.said_by) == ("comes every tenth year", owner[1])
    periods = RetentionPeriods.of_shop()
    assert list(due(KeptKind.CONTACT, periods, until)) == []
    assert list(due(KeptKind.CONTACT, periods, until + dt.timedelta(days=1))) == [customer]


def test_what_was_said_last_of_keeping_longer_counts_though_the_clock_was_set_back_before(
    owner: Signed,
) -> None:
    customer, now = ordered(dt.date(2010, 1, 1)), timezone.now()
    periods, day = kept(10), timezone.localdate()
    for ahead, days in ((365, 900), (0, 30)):
        KeptLonger.objects.create(
            customer=customer,
            kind=KeptKind.CONTACT,
            until=day + dt.timedelta(days=days),
            said_at=now + dt.timedelta(days=ahead),
            said_by=owner[1],
        )
    assert list(due(KeptKind.CONTACT, periods, day + dt.timedelta(days=31))) == [customer]


def test_the_page_lists_them_with_what_can_be_done_and_asks_the_same_of_the_database(
    owner: Signed,
) -> None:
    periods = kept(10)
    at = reverse("what-is-due")
    ordered(dt.date(2010, 1, 1))
    owner[0].get(at)  # what is asked once in a process is asked now

    def asked() -> int:
        return queries_of(owner[0], at)

    one = asked()
    for n in range(60):
        ordered(dt.date(2009, 1, 1) + dt.timedelta(days=n))
    assert asked() == one
    page = owner[0].get(at).content.decode()
    assert page.count("Keep longer<") == 50
    assert "Page 1 of 2" in page
    assert periods.years(KeptKind.CONTACT) == 10


def test_the_owner_sets_and_takes_away_the_time(owner: Signed) -> None:
    at = reverse("periods")
    seen = RetentionPeriods.of_shop().version
    answer = owner[0].post(at, {"contact_years": "0", "version": seen})
    assert answer.status_code == 422
    owner[0].post(at, {"contact_years": "10", "version": seen})
    assert RetentionPeriods.of_shop().contact_years == 10
    assert owner[0].post(at, {"contact_years": "", "version": seen}).status_code == 409


def test_measures_are_destroyed_with_their_history_and_a_line_is_kept(owner: Signed) -> None:
    customer = ordered(dt.date(2010, 1, 1))
    MeasurementFactory(measurement_set__customer=customer)
    ArmCarriageFactory(customer=customer)
    FigureNoteFactory(customer=customer)
    other = FigureNoteFactory()
    owner[0].post(reverse("measures-erase", args=[customer.pk]))
    for model in (MeasurementSet, Measurement, ArmCarriage):
        assert not model._default_manager.exists()
        history: Any = model.history  # type: ignore[attr-defined]
        assert not history.exists()
    assert FigureNote.objects.get() == other
    line = Destroyed.objects.get()
    assert (line.customer_key, line.what, line.by) == (customer.pk, "measures", owner[1])
    assert customer.orders.count() == 1


def test_every_row_under_what_is_destroyed_goes_with_it() -> None:
    """Asked of Django's own graph of relations, apart from the list that is tested."""
    for models in PARTS.values():
        for model in models:
            for relation in model._meta.related_objects:
                name = relation.related_model.__name__
                assert relation.related_model in models or "Historical" in name, name


@pytest.mark.django_db
def test_photographs_destroyed_before_are_destroyed_again_after_a_restore(
    owner: Signed, capsys: Any
) -> None:
    fitting = FittingFactory()
    customer = fitting.order.customer
    photographed(fitting, fitting.fitter)
    owner[0].post(reverse("photographs-erase", args=[customer.pk]))
    write_down()
    assert [(one.number, one.what) for one in listed()] == [(customer.number, "photographs")]
    call_command("reapply_erasures")
    assert "Erased again: nobody." in capsys.readouterr().out
    # A backup of before: the row is there again, and a later photograph too.
    back, later = (photographed(fitting, fitting.fitter) for _ in range(2))
    Photograph.objects.filter(pk=back.pk).update(received_at=dt.datetime(2026, 1, 1, tzinfo=dt.UTC))
    Photograph.objects.filter(pk=later.pk).update(
        received_at=timezone.now() + dt.timedelta(hours=1)
    )
    call_command("reapply_erasures")
    assert f"{customer.number} (photographs)" in capsys.readouterr().out
    assert Photograph.objects.get() == later
