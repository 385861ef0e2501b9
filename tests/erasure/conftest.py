"""One customer with everything that a record can hold, and an erasure list of its own."""

import datetime as dt
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone

from fittings.models import (
    ArmCarriage,
    BookOrigin,
    BookRow,
    CarriedIn,
    Customer,
    CustomerBook,
    Entry,
    FigureNote,
    GarmentOnly,
    HealthNote,
    InlayUse,
    KeptLonger,
    Maker,
    MarkKind,
    Measurement,
    Outcome,
    PhotographMark,
    PlannedFitting,
    PrintRun,
    PrintSheet,
    Question,
    Ticket,
)
from fittings.photographs.record import send_to_workroom
from fittings.ticketing.issuing import issue, reissue
from tests.factories import (
    ArmCarriageFactory,
    FigureNoteFactory,
    MeasurementFactory,
    MeasurementSetFactory,
)
from tests.photographs.pictures import photographed
from tests.ticket.worked import LEFT_FORWARD, signed_fitting

GIVEN, FAMILY, MAIDEN = "Ottilia", "Brackenwhistle", "Fennimoor"
WORDS = (GIVEN, FAMILY, MAIDEN, "0777 314159", "ottilia@example.test", "9 Quince Row")
DAY = dt.date(2026, 3, 2)


@pytest.fixture(autouse=True)
def erasure_list(settings: Any, tmp_path: Path) -> Path:
    settings.ERASURE_LIST = tmp_path / "erased.jsonl"
    return Path(settings.ERASURE_LIST)


@pytest.fixture
def known(db: None) -> Customer:
    """A customer of whom everything is kept, under the name of today and the one before."""
    fitting = signed_fitting(LEFT_FORWARD, inlays=[("left", "cuff", 45.0)])
    order, at, by = fitting.order, timezone.now(), fitting.fitter
    customer = order.customer
    _name(customer)
    order.notes, order.style = f"For Mrs {FAMILY}", f"as the last one of {GIVEN}"
    order.outside_maker = Maker.objects.create(name="Outside hand")
    order.save()
    fitting.note = f"{GIVEN} was in a hurry"
    fitting.save()
    pattern = fitting.pattern_version.pattern
    pattern.name = f"Coat of O. {FAMILY}"
    pattern.save()
    photograph = photographed(fitting, by)
    send_to_workroom(photograph, wanted=True)
    PhotographMark.objects.create(
        id=uuid.uuid4(),
        photograph=photograph,
        kind=MarkKind.PIN,
        number=1,
        points=[[0.5, 0.5]],
        words=f"{GIVEN}'s elbow",
        made_at=at,
        made_by=by,
    )
    fitting.order.customer.refresh_from_db()
    ticket = issue(type(fitting).objects.get(pk=fitting.pk), by=by, at=at)
    reissue(ticket, by=by, at=at, reason=f"{FAMILY} asked for it")
    _write_more(customer, ticket, by, at)
    customer.refresh_from_db()
    return customer


def _name(customer: Customer) -> None:
    customer.given_name, customer.family_name = GIVEN, MAIDEN
    customer.save()
    customer.family_name, customer.phone, customer.email = FAMILY, WORDS[3], WORDS[4]
    customer.address, customer.notes = "9 Quince Row\nUpper Nettle", f"{GIVEN} likes tea"
    customer.save()


def _write_more(customer: Customer, ticket: Ticket, by: Any, at: Any) -> None:
    fitting, line = ticket.fitting, ticket.lines.get()
    Entry.objects.create(
        fitting=fitting, kind="note", data={"text": f"{GIVEN} said so"}, made_at=at, made_by=by
    )
    Question.objects.create(line=line, asked_by=by, asked_at=at, words=f"Does {FAMILY} agree?")
    PlannedFitting.objects.create(order=ticket.order, starts_at=at, with_whom=by, fitting=fitting)
    PlannedFitting.objects.create(
        order=ticket.order,
        starts_at=at,
        with_whom=by,
        state="cancelled",
        cancelled_because=f"{GIVEN} is away",
    )
    run = PrintRun.objects.create(made_at=at, made_by=by)
    laid_out = f"%PDF {GIVEN} {FAMILY}".encode()
    PrintSheet.objects.create(run=run, ticket=ticket, position=1, pdf=laid_out, pages=1)
    GarmentOnly.objects.create(
        order=ticket.order, what=f"{FAMILY}'s cuff", flagged_at=at, flagged_by=by
    )
    InlayUse.objects.create(line=line, place="cuff", planned_mm=6, as_entered="6", unit="mm")
    floats = ("before_mm", "before_sigma_mm", "worked_mm", "after_mm", "after_sigma_mm")
    need, decision = fitting.needs.first(), fitting.decisions.first()
    Outcome.objects.create(decision=decision, need=need, **dict.fromkeys(floats, 1.25))
    FigureNoteFactory(customer=customer, noted_by=by).delete()  # the history knows it still
    FigureNoteFactory(customer=customer, noted_by=by, word="stooping")
    MeasurementFactory(measurement_set=MeasurementSetFactory(customer=customer, note=GIVEN))
    ArmCarriageFactory(customer=customer)
    HealthNote.objects.create(
        customer=customer, words=f"{GIVEN}'s pacemaker", noted_on=DAY, noted_by=by
    )
    KeptLonger.objects.create(
        customer=customer,
        kind="contact",
        until=DAY,
        reason=f"{FAMILY} asked for it",
        said_at=at,
        said_by=by,
    )
    book = CustomerBook.objects.create(name="old book", made_at=at, made_by=by, delimiter=";")
    BookRow.objects.create(book=book, number=2, cells=[FAMILY], customer=customer)
    BookOrigin.objects.create(key="number 17", customer=customer)
    CarriedIn.objects.create(customer=customer, carried_at=at, old_numbers={"C-0090": "C-0001"})


GONE = (
    *(FigureNote, Measurement, ArmCarriage, Entry, Question, PrintSheet, GarmentOnly, BookRow),
    *(PlannedFitting, HealthNote, KeptLonger),
)
