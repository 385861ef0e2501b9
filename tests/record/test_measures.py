"""Sets of measures: as entered, with their unit and repeats, beside what was measured before."""

import datetime as dt
from decimal import Decimal

from django.urls import reverse

from fittings.models import Measurement, MeasurementSet
from tailorshop.models import Units
from tests.conftest import Signed
from tests.factories import CustomerFactory, MeasurementFactory, MeasurementSetFactory

DAY = {"taken_on": "2026-02-03", "version": ""}


def kept(taken: MeasurementSet) -> list[tuple[str, int, Decimal, str, str]]:
    rows = taken.measurements.order_by("name", "repeat")
    return [(r.name, r.repeat, r.value_mm, r.as_entered, r.unit) for r in rows]


def test_every_reading_is_kept_as_entered_with_its_unit(fitter: Signed) -> None:
    customer = CustomerFactory()
    sent = DAY | {"chest_girth_1": "101,5", "chest_girth_2": "40 in", "wrist_girth_1": "176 mm"}
    answer = fitter[0].post(reverse("measures-new", args=[customer.pk]), sent)
    taken = MeasurementSet.objects.get()
    assert answer["Location"] == taken.get_absolute_url()
    assert taken.taken_by == fitter[1]
    assert kept(taken) == [
        ("chest_girth", 1, Decimal("1015.000"), "101,5", "cm"),
        ("chest_girth", 2, Decimal("1016.000"), "40 in", "in"),
        ("wrist_girth", 1, Decimal("176.000"), "176 mm", "mm"),
    ]


def test_a_number_alone_is_read_in_the_unit_of_whoever_types(fitter: Signed) -> None:
    fitter[1].units = Units.INCH
    fitter[1].save()
    at = reverse("measures-new", args=[CustomerFactory().pk])
    fitter[0].post(at, DAY | {"chest_girth_1": "40 1/2"})
    assert Measurement.objects.get().value_mm == Decimal("1028.700")


def test_a_reading_in_the_second_place_only_is_the_first(fitter: Signed) -> None:
    at = reverse("measures-new", args=[CustomerFactory().pk])
    fitter[0].post(at, DAY | {"chest_girth_2": "100"})
    assert Measurement.objects.get().repeat == 1


def test_what_is_not_a_length_comes_back_with_the_rest_kept(fitter: Signed) -> None:
    at = reverse("measures-new", args=[CustomerFactory().pk])
    answer = fitter[0].post(at, DAY | {"chest_girth_1": "12,5,0", "waist_girth_1": "88"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "&#x27;12,5,0&#x27; is not a length" in page
    assert 'value="88"' in page
    assert not MeasurementSet.objects.exists()


def test_an_empty_set_is_not_kept(fitter: Signed) -> None:
    answer = fitter[0].post(reverse("measures-new", args=[CustomerFactory().pk]), DAY)
    assert answer.status_code == 422
    assert "write at least one measure" in answer.content.decode()


def test_the_last_values_stand_beside_while_entering(fitter: Signed) -> None:
    before = MeasurementSetFactory()
    MeasurementFactory(measurement_set=before, value_mm=987, as_entered="98.7")
    page = fitter[0].get(reverse("measures-new", args=[before.customer_id])).content.decode()
    assert "98.7 cm" in page


def test_an_edit_in_another_unit_leaves_untouched_readings_as_they_were(fitter: Signed) -> None:
    taken = MeasurementSetFactory()
    MeasurementFactory(measurement_set=taken, value_mm=1005, as_entered="100,5", unit="cm")
    fitter[1].units = Units.INCH
    fitter[1].save()
    at = reverse("measures-edit", args=[taken.pk])
    page = fitter[0].get(at).content.decode()
    assert 'value="100,5 cm"' in page
    sent = {"taken_on": "2026-01-05", "version": "1"}
    fitter[0].post(at, sent | {"chest_girth_1": "100,5 cm", "wrist_girth_1": "7"})
    assert kept(taken) == [
        ("chest_girth", 1, Decimal("1005.000"), "100,5", "cm"),
        ("wrist_girth", 1, Decimal("177.800"), "7", "in"),
    ]


def test_a_third_reading_can_be_added_where_two_disagree(fitter: Signed) -> None:
    taken = MeasurementSetFactory()
    for repeat, mm in ((1, 1000), (2, 1020)):
        MeasurementFactory(
            measurement_set=taken, repeat=repeat, value_mm=mm, as_entered=str(mm / 10)
        )
    page = fitter[0].get(taken.get_absolute_url()).content.decode()
    assert "Take a third" in page
    at = reverse("measures-edit", args=[taken.pk])
    assert 'name="chest_girth_3"' in fitter[0].get(at).content.decode()
    sent = {"taken_on": "2026-01-05", "version": "1"}
    readings = {"chest_girth_1": "100.0", "chest_girth_2": "102.0", "chest_girth_3": "101"}
    fitter[0].post(at, sent | readings)
    assert [row[1] for row in kept(taken)] == [1, 2, 3]


def test_a_reading_cleared_is_gone_from_the_set_and_kept_in_the_history(fitter: Signed) -> None:
    taken = MeasurementSetFactory()
    MeasurementFactory(measurement_set=taken, name="chest_girth")
    MeasurementFactory(measurement_set=taken, name="wrist_girth", value_mm=176)
    at = reverse("measures-edit", args=[taken.pk])
    fitter[0].post(at, {"taken_on": "2026-01-05", "version": "1", "wrist_girth_1": "17.6"})
    assert [row[0] for row in kept(taken)] == ["wrist_girth"]
    assert Measurement.history.filter(history_type="-", name="chest_girth").count() == 1


def test_page_compares_with_the_set_before_not_with_a_later_one(fitter: Signed) -> None:
    customer = CustomerFactory()
    days = [dt.date(2025, 1, 1), dt.date(2026, 1, 1), dt.date(2026, 6, 1)]
    for day, mm in zip(days, (900, 1000, 1100), strict=True):
        taken = MeasurementSetFactory(customer=customer, taken_on=day)
        MeasurementFactory(measurement_set=taken, value_mm=mm, as_entered=str(mm / 10))
    middle = customer.measurement_sets.get(taken_on=days[1])
    page = fitter[0].get(middle.get_absolute_url()).content.decode()
    assert "10.0 cm more than last time (1 Jan 2025)" in page
    assert "110.0" not in page
