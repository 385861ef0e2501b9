"""Sets of measures: taking one, reading one."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.formats import date_format

from fittings.forms.measures import MeasuresForm, readings_of
from fittings.measures import plausible
from fittings.models import Customer, Measurement, MeasurementSet
from fittings.units import Entered, as_typed, format_length
from fittings.views.reach import form_page, get_customer, get_measures, unit_of, who


class Told(NamedTuple):
    """One measure as the page shows it: as written, what it was, whether something is remarked."""

    label: str
    written: list[str]
    mean_mm: Decimal
    before_mm: Decimal | None
    change: str
    remarked: bool


def measures_new(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    before = customer.measurement_sets.prefetch_related("measurements").first()
    row = MeasurementSet(customer=customer, taken_by_id=who(request), taken_on=timezone.localdate())
    return _measures_form(request, row, customer, before, said="Kept: {}.")


def measures_edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_measures(request, pk)
    return _measures_form(request, row, row.customer, set_before(row), said="Saved: {}.")


def _measures_form(
    request: HttpRequest,
    row: MeasurementSet,
    customer: Customer,
    before: MeasurementSet | None,
    *,
    said: str,
) -> HttpResponse:
    form = MeasuresForm(
        request.POST or None, instance=row, unit=unit_of(request), before=readings_of(before)
    )
    return form_page(
        request, form, "measures_form.html", said=said, customer=customer, before=before
    )


def measures(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_measures(request, pk)
    before = set_before(row)
    told = tell(row, before, population=row.customer.compare_with, unit=unit_of(request))
    context = {"set": row, "customer": row.customer, "before": before}
    return render(request, "measures.html", context | told)


def set_before(row: MeasurementSet) -> MeasurementSet | None:
    """The customer's last set before this one."""
    sets = MeasurementSet.objects.filter(customer_id=row.customer_id).exclude(pk=row.pk)
    earlier = sets.filter(taken_on__lt=row.taken_on) | sets.filter(
        taken_on=row.taken_on, pk__lt=row.pk
    )
    return earlier.prefetch_related("measurements").first()


def told_of(
    customer: Customer, sets: Sequence[MeasurementSet], *, unit: str
) -> dict[str, Sequence[Told | plausible.Remark]]:
    """The first of these sets, newest first, told against the second."""
    if not sets:
        return {}
    newest = MeasurementSet.objects.prefetch_related("measurements").in_bulk(
        [row.pk for row in sets[:2]]
    )
    pair = [newest[row.pk] for row in sets[:2]]
    before = pair[1] if len(pair) > 1 else None
    return tell(pair[0], before, population=customer.compare_with, unit=unit)


def tell(
    row: MeasurementSet, before: MeasurementSet | None, *, population: str, unit: str
) -> dict[str, Sequence[Told | plausible.Remark]]:
    """What a table of measures shows: `told`, measure by measure, and `remarks` on the set."""
    now, then = _values(readings_of(row)), _values(readings_of(before))
    remarks = plausible.judge(
        now,
        population=population,
        previous=then,
        previous_on=date_format(before.taken_on, "j M Y") if before else "",
        unit=unit,
    )
    remarked = {remark.measure for remark in remarks}
    told = [
        _told(readings, then.get(name), unit, remarked=name in remarked)
        for name, readings in readings_of(row).items()
    ]
    return {"told": told, "remarks": remarks}


def _told(
    readings: Sequence[Measurement],
    then: Sequence[Decimal] | None,
    unit: str,
    *,
    remarked: bool,
) -> Told:
    mean = plausible.mean_mm([reading.value_mm for reading in readings])
    before = plausible.mean_mm(then) if then else None
    return Told(
        label=readings[0].get_name_display(),
        written=[_written(reading, unit) for reading in readings],
        mean_mm=mean,
        before_mm=before,
        change="" if before is None else _change(mean - before, unit),
        remarked=remarked,
    )


def _written(reading: Measurement, unit: str) -> str:
    entered = Entered(mm=reading.value_mm, as_entered=reading.as_entered, unit=reading.unit)
    return as_typed(entered, unit)


def _change(mm: Decimal, unit: str) -> str:
    size = format_length(abs(mm), unit)
    return "the same" if not mm else f"{size} {'more' if mm > 0 else 'less'}"


def _values(readings: Mapping[str, Sequence[Measurement]]) -> dict[str, list[Decimal]]:
    return {name: [one.value_mm for one in repeats] for name, repeats in readings.items()}
