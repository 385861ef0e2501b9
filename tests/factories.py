"""Made-up people, orders and patterns for tests and for looking at the pages."""

import copy
import datetime as dt
from typing import Any

import factory
from django.utils import timezone

from fittings.models import (
    ArmCarriage,
    Customer,
    FigureNote,
    Fitting,
    Measurement,
    MeasurementSet,
    MeasureName,
    Order,
    Stage,
    Ticket,
)
from patterns.models import Pattern, PatternVersion
from tailorshop.models import Role, User

SLEEVE: dict[str, Any] = {
    "armhole": {
        "girth_mm": 480,
        "pitch_width_mm": 140,
        "pitch_height_mm": 65,
        "front_pitch_up_mm": 25,
    },
    "sleeve": {
        "girth_mm": {"biceps": 380, "elbow": 330, "cuff": 270},
        "section_ratio": 1,
        "crown_height_mm": 160,
        "length_mm": 640,
        "hindarm_shift_mm": {"head": 0, "elbow": 0, "cuff": 0},
        "forearm_shift_mm": {"head": 0, "elbow": 0, "cuff": 0},
        "ironed_share": {"hindarm": 0, "forearm": 0},
    },
}


def sides() -> dict[str, Any]:
    """The same armhole and sleeve for both sides, fresh each time."""
    return {"left": copy.deepcopy(SLEEVE), "right": copy.deepcopy(SLEEVE)}


class UserFactory(factory.django.DjangoModelFactory[User]):
    class Meta:
        model = User

    username = factory.Sequence(lambda n: f"person{n}")
    first_name = factory.Sequence(lambda n: f"Person{n}")
    role = Role.FITTER


class CustomerFactory(factory.django.DjangoModelFactory[Customer]):
    class Meta:
        model = Customer

    given_name = factory.Sequence(lambda n: f"Given{n}")
    family_name = factory.Sequence(lambda n: f"Family{n}")
    phone = factory.Sequence(lambda n: f"000 {n:06d}")
    record_consent_on = dt.date(2026, 1, 5)


class FigureNoteFactory(factory.django.DjangoModelFactory[FigureNote]):
    class Meta:
        model = FigureNote

    customer = factory.SubFactory(CustomerFactory)
    word = "erect"
    noted_on = dt.date(2026, 1, 5)
    noted_by = factory.SubFactory(UserFactory)


class MeasurementSetFactory(factory.django.DjangoModelFactory[MeasurementSet]):
    class Meta:
        model = MeasurementSet

    customer = factory.SubFactory(CustomerFactory)
    taken_on = dt.date(2026, 1, 5)
    taken_by = factory.SubFactory(UserFactory)


class MeasurementFactory(factory.django.DjangoModelFactory[Measurement]):
    class Meta:
        model = Measurement

    measurement_set = factory.SubFactory(MeasurementSetFactory)
    name = MeasureName.CHEST_GIRTH
    value_mm = 1000
    as_entered = "100"
    unit = "cm"


class ArmCarriageFactory(factory.django.DjangoModelFactory[ArmCarriage]):
    class Meta:
        model = ArmCarriage

    customer = factory.SubFactory(CustomerFactory)
    side = "left"
    observed_on = dt.date(2026, 1, 5)
    observed_by = factory.SubFactory(UserFactory)


class PatternFactory(factory.django.DjangoModelFactory[Pattern]):
    class Meta:
        model = Pattern

    name = factory.Sequence(lambda n: f"Coat block {n}")
    made_on = dt.date(2026, 1, 5)


class PatternVersionFactory(factory.django.DjangoModelFactory[PatternVersion]):
    class Meta:
        model = PatternVersion

    pattern = factory.SubFactory(PatternFactory)
    number = 1
    sides = factory.LazyFunction(sides)
    made_at = factory.LazyFunction(timezone.now)
    made_by = factory.SubFactory(UserFactory)


class OrderFactory(factory.django.DjangoModelFactory[Order]):
    class Meta:
        model = Order

    customer = factory.SubFactory(CustomerFactory)
    cloth = "blue worsted"
    stage = Stage.BASTE
    ordered_on = dt.date(2026, 1, 5)


class FittingFactory(factory.django.DjangoModelFactory[Fitting]):
    class Meta:
        model = Fitting

    order = factory.SubFactory(OrderFactory)
    held_on = dt.date(2026, 2, 2)
    fitter = factory.SubFactory(UserFactory)


class TicketFactory(factory.django.DjangoModelFactory[Ticket]):
    class Meta:
        model = Ticket

    number = factory.Sequence(lambda n: f"T-{n + 1:04d}")
    fitting = factory.SubFactory(FittingFactory)
    order = factory.SelfAttribute("fitting.order")
    issued_at = factory.LazyFunction(timezone.now)
    issued_by = factory.SubFactory(UserFactory)
    content = factory.LazyFunction(dict)
