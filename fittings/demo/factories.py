"""How the rows of the invented shop are made."""

from __future__ import annotations

from typing import Any

import factory
from django.contrib.auth.hashers import make_password

from fittings.demo.people import Person
from fittings.models import (
    ArmCarriage,
    Customer,
    FigureNote,
    Fitting,
    Measurement,
    MeasurementSet,
    Order,
    OrderInlay,
)
from fittings.units import format_length
from patterns.models import Pattern, PatternVersion

PASSWORD = "chalk-and-thread"  # noqa: S105 - printed for everybody who tries the demo shop


def staff_factory(model: Any) -> Any:
    """A factory for the people who sign in; the model belongs to the project, not to us."""
    return factory.make_factory(
        model, FACTORY_CLASS=factory.django.DjangoModelFactory, password=make_password(PASSWORD)
    )


class CustomerFactory(factory.django.DjangoModelFactory[Customer]):
    class Meta:
        model = Customer

    phone = factory.Sequence(lambda n: f"000 555 {n:04d}")
    email = factory.LazyAttribute(lambda c: f"{c.given_name}.{c.family_name}@demo.invalid".lower())
    address = factory.Sequence(lambda n: f"{n + 3} Nowhere Row, Demotown")


class FigureNoteFactory(factory.django.DjangoModelFactory[FigureNote]):
    class Meta:
        model = FigureNote


class MeasurementSetFactory(factory.django.DjangoModelFactory[MeasurementSet]):
    class Meta:
        model = MeasurementSet

    worn_over = "shirt"


class MeasurementFactory(factory.django.DjangoModelFactory[Measurement]):
    class Meta:
        model = Measurement

    unit = "cm"
    as_entered = factory.LazyAttribute(lambda m: format_length(m.value_mm, "cm"))


class ArmCarriageFactory(factory.django.DjangoModelFactory[ArmCarriage]):
    class Meta:
        model = ArmCarriage

    inward_turn_deg = 8
    elbow_bend_deg = 12


class OrderFactory(factory.django.DjangoModelFactory[Order]):
    class Meta:
        model = Order

    style = "single-breasted, two buttons"
    cloth_weight_g = 400


class InlayFactory(factory.django.DjangoModelFactory[OrderInlay]):
    class Meta:
        model = OrderInlay

    left_mm = factory.SelfAttribute("as_cut_mm")


class FittingFactory(factory.django.DjangoModelFactory[Fitting]):
    class Meta:
        model = Fitting

    worn_under = "shirt"


class PatternFactory(factory.django.DjangoModelFactory[Pattern]):
    class Meta:
        model = Pattern


class PatternVersionFactory(factory.django.DjangoModelFactory[PatternVersion]):
    class Meta:
        model = PatternVersion

    number = 1
    sides = factory.LazyAttribute(lambda v: sides_for(v.person))

    class Params:
        person: Any = None


def sides_for(person: Person) -> dict[str, Any]:
    """A 50-50 first draft by trade figures: biceps 60 mm over the arm, crown a third of the scye
    (from memory, Aldrich), pitch 140 wide and 65 high scaled with the armhole."""
    armhole = round(0.36 * person.chest + 110)
    biceps = person.upper_arm + 62
    side = {
        "armhole": {
            "girth_mm": armhole,
            "pitch_width_mm": round(0.29 * armhole),
            "pitch_height_mm": round(0.15 * armhole),
            "front_pitch_up_mm": 25,
        },
        "sleeve": {
            "girth_mm": {"biceps": biceps, "elbow": biceps - 48, "cuff": person.wrist + 102},
            "section_ratio": 1.1,
            "crown_height_mm": round(armhole / 3),
            "length_mm": person.arm_length + 20,
            "hindarm_shift_mm": {"head": 0, "elbow": 0, "cuff": 0},
            "forearm_shift_mm": {"head": 0, "elbow": 0, "cuff": 0},
            "ironed_share": {"hindarm": 0, "forearm": 0},
        },
    }
    return {"left": side, "right": side}
