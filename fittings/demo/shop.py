"""Open the invented shop: people, measures, patterns, orders and everything that was fitted."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import TYPE_CHECKING

from django.contrib.auth import get_user_model
from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils import timezone

from fittings.demo import factories, heeded, planned, workroom
from fittings.demo.again import AGAIN
from fittings.demo.people import PEOPLE, Person
from fittings.demo.story import STORY
from fittings.demo.telling import Commission
from fittings.demo.visits import Days, Visits
from fittings.drafting import branch
from fittings.models import (
    INLAY_PLACES,
    Customer,
    InlayPlace,
    Order,
)
from fittings.pattern_history.garment_only import note_by_hand
from patterns.models import PatternVersion

if TYPE_CHECKING:
    from tailorshop.models import User

STAFF = (
    ("ines", "Ines", "Marwick", "fitter", "cm"),
    ("tomasz", "Tomasz", "Birkel", "workroom", "cm"),
    ("odile", "Odile", "Sandmoor", "workroom", "in"),
    ("maud", "Maud", "Withy", "owner", "cm"),
    ("per", "Per", "Holmgate", "keeper", "cm"),
)
# Four digits by which a fitter says who is fitting, on a tablet that somebody is signed in on.
QUICK_CODES = {"ines": "2719", "maud": "8306"}
TOLD = (*STORY, *AGAIN)
# Usual inlays, mm (trade practice, no source); where the book needs them they run out now and then.
INLAYS = {
    InlayPlace.TOP_SLEEVE_HEAD: 10,
    InlayPlace.UNDER_SLEEVE_HEAD: 6,
    InlayPlace.TOP_SLEEVE_HINDARM: 10,
    InlayPlace.UNDER_SLEEVE_HINDARM: 12,
    InlayPlace.TOP_SLEEVE_FOREARM: 10,
    InlayPlace.UNDER_SLEEVE_FOREARM: 0,
    InlayPlace.CUFF: 45,
    InlayPlace.BACK_SHOULDER: 10,
    InlayPlace.BACK_ARMHOLE: 10,
    InlayPlace.SIDE_CHEST: 20,
    InlayPlace.SIDE_WAIST: 20,
    InlayPlace.SIDE_HIPS: 5,
    InlayPlace.HEM: 40,
}


class Shop:
    """The shop as of today; `open` fills an empty record."""

    def __init__(self, today: dt.date) -> None:
        self.days = Days(today=today, opened_at=timezone.now() - dt.timedelta(hours=1))
        self.staff: dict[str, User] = {}

    @transaction.atomic
    def open(self) -> None:
        self._hire()
        workroom.name_makers(self.staff)
        at_visits = Visits(staff=self.staff, days=self.days)
        customers = [self._welcome(person, n) for n, person in enumerate(PEOPLE)]
        newest: dict[int, PatternVersion] = {}
        for told in sorted(TOLD, key=lambda c: -c.ordered_ago):
            known = None if told.own_pattern else newest.get(told.who)
            if known is not None and told.retires:
                self._retire(known, told)
                known = None
            order = self._commission(customers[told.who], told, known)
            for visit in told.visits:
                at_visits.visit(order, visit)
            order.refresh_from_db()
            self._note(order, told)
            if order.pattern_version is not None and not (told.branched or told.own_pattern):
                newest[told.who] = order.pattern_version
        workroom.work(self.staff, self.days.moment(0))
        planned.plan(self.staff, self.days.today)
        heeded.note(self.staff, self.days.today)

    def _hire(self) -> None:
        make = factories.staff_factory(get_user_model())
        for username, first, last, role, units in STAFF:
            self.staff[username] = make(
                username=username,
                first_name=first,
                last_name=last,
                role=role,
                units=units,
                quick_code=make_password(QUICK_CODES[username]) if username in QUICK_CODES else "",
            )

    def _welcome(self, person: Person, n: int) -> Customer:
        known_since = max((c.ordered_ago for c in TOLD if c.who == n), default=30) + 3
        customer = factories.CustomerFactory.create(
            given_name=person.given,
            family_name=person.family,
            compare_with=person.compare_with,
            record_consent_on=self.days.day(known_since),
            fitting_photo_consent_on=self.days.day(known_since) if n % 3 else None,
        )
        for word, side, degree in person.notes:
            factories.FigureNoteFactory.create(
                customer=customer,
                word=word,
                side=side,
                degree=degree,
                noted_on=self.days.day(known_since),
                noted_by=self.staff["ines"],
            )
        self._measure(customer, person, known_since, grown=0.0)
        if known_since > 300:
            self._measure(customer, person, 20, grown=0.012)
        for side, hang in zip(("left", "right"), person.forward_hang, strict=True):
            factories.ArmCarriageFactory.create(
                customer=customer,
                side=side,
                observed_on=self.days.day(known_since),
                observed_by=self.staff["ines"],
                forward_hang_deg=hang,
                length_mm=person.arm_length,
            )
        return customer

    def _measure(self, customer: Customer, person: Person, ago: int, *, grown: float) -> None:
        taken = factories.MeasurementSetFactory.create(
            customer=customer, taken_on=self.days.day(ago), taken_by=self.staff["ines"]
        )
        girths = {
            "chest_girth": person.chest,
            "waist_girth": person.waist,
            "upper_arm_girth": person.upper_arm,
            "wrist_girth": person.wrist,
        }
        lengths = {
            "stature": person.stature,
            "arm_length": person.arm_length,
            "upper_arm_length": round(0.556 * person.arm_length),
            "back_waist_length": round(0.272 * person.stature),
        }
        grown_girths = {name: round(mm * (1 + grown)) for name, mm in girths.items()}
        for name, mm in (grown_girths | lengths).items():
            factories.MeasurementFactory.create(measurement_set=taken, name=name, value_mm=mm)

    def _commission(
        self, customer: Customer, told: Commission, known: PatternVersion | None
    ) -> Order:
        person = PEOPLE[told.who]
        order: Order = factories.OrderFactory.create(
            customer=customer,
            garment=told.garment,
            cloth=person.cloths[told.cloth],
            stage=told.stage,
            ordered_on=self.days.day(told.ordered_ago),
            promised_on=self.days.today + dt.timedelta(days=told.promised_in),
            maker=self.staff["tomasz" if told.who % 2 else "odile"],
            pattern_version=self._cut_from(person, told, known),
        )
        for side in ("left", "right"):
            for place in INLAY_PLACES[told.garment]:
                if place in INLAYS:
                    factories.InlayFactory.create(
                        order=order, side=side, place=place, as_cut_mm=INLAYS[place]
                    )
        return order

    def _cut_from(
        self, person: Person, told: Commission, known: PatternVersion | None
    ) -> PatternVersion | None:
        if told.garment == "waistcoat":
            return None
        if known is not None and told.branched:
            name = _pattern_name(person, told)
            by, at = self.staff["ines"], self.days.moment(told.ordered_ago)
            return branch(known, name=name, order=None, by=by, at=at)
        return known or self._pattern(person, told)

    def _retire(self, known: PatternVersion, told: Commission) -> None:
        known.pattern.retired_on = self.days.day(told.ordered_ago)
        known.pattern.retired_reason = told.retires
        known.pattern.save()

    def _note(self, order: Order, told: Commission) -> None:
        """What was altered on the garment alone, noted half a year after it was ordered."""
        for what, place, side, mm in told.noted:
            note_by_hand(
                order,
                what=what,
                place=place,
                side=side,
                amount_mm=Decimal(mm),
                by=self.staff["ines"],
                at=self.days.moment(told.ordered_ago - 180),
            )

    def _pattern(self, person: Person, told: Commission) -> PatternVersion:
        pattern = factories.PatternFactory.create(
            name=_pattern_name(person, told),
            block="long-arm block" if person.arm_length > 620 else "house block",
            made_on=self.days.day(told.ordered_ago),
        )
        version: PatternVersion = factories.PatternVersionFactory.create(
            pattern=pattern,
            person=person,
            made_at=self.days.moment(told.ordered_ago),
            made_by=self.staff["maud"],
            note="First draft, both seams in the middle.",
        )
        return version


def _pattern_name(person: Person, told: Commission) -> str:
    """As it is written on the card: what was cut first, and no person."""
    return f"{told.garment.capitalize()}, {person.cloths[told.cloth]}"


def is_open() -> bool:
    """Whether the record holds anything yet."""
    return Customer.objects.exists() or get_user_model().objects.exists()


def open_shop() -> None:
    Shop(timezone.localdate()).open()
