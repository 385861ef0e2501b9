"""Erasing: nothing of the person is left anywhere, and what the shop cuts and counts by is."""

import copy
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.db.models import ForeignKey

from fittings.belonging import history_of, history_rows, keys_of, personal_models
from fittings.erasing.erase import KEPT, bare, erase
from fittings.erasing.traces import columns_with
from fittings.erasing.words import Naming
from fittings.models import (
    Customer,
    Decision,
    Erasure,
    Fitting,
    Order,
    Outcome,
    Photograph,
    Ticket,
    TicketLine,
)
from fittings.photographs.keeping import keep, name_of
from fittings.photographs.taking import taken_in
from fittings.refusals import Refused
from patterns.bringing.picture import Picture, load, store
from patterns.models import PatternVersion
from tests.erasure.conftest import DAY, GONE, WORDS
from tests.factories import (
    CustomerFactory,
    FigureNoteFactory,
    MeasurementFactory,
    OrderFactory,
    TicketFactory,
)
from tests.photographs.pictures import file, quartered

pytestmark = pytest.mark.django_db


def stored() -> list[str]:
    """Every file in the storage."""
    found, folders = [], [""]
    for folder in folders:
        inside, files = default_storage.listdir(folder)
        folders += [f"{folder}/{name}".strip("/") for name in inside]
        found += [f"{folder}/{name}" for name in files]
    return found


def test_erasing_one_leaves_another_customer_as_it_was() -> None:
    erased, other = CustomerFactory(), OrderFactory(notes="as ever").customer
    FigureNoteFactory(customer=other)
    MeasurementFactory(measurement_set__customer=other)
    before = {model: copy.copy(keys) for model, keys in keys_of(other).items()}
    said = Customer.objects.filter(pk=other.pk).values().get()
    erase(erased, by=None, on=DAY)
    assert keys_of(other) == before
    assert Customer.objects.filter(pk=other.pk).values().get() == said
    assert other.orders.get().notes == "as ever"


def test_a_picture_of_two_stays_on_the_paper_of_the_other(
    django_capture_on_commit_callbacks: Any,
) -> None:
    name = keep(taken_in(file(quartered())))
    content = {"photographs": [{"sha256": name}]}
    erased, other = (TicketFactory(content=content).order.customer for _ in range(2))
    with django_capture_on_commit_callbacks(execute=True):
        erase(erased, by=None, on=DAY)
    assert default_storage.exists(name_of(name))
    with django_capture_on_commit_callbacks(execute=True):
        erase(other, by=None, on=DAY)
    assert not default_storage.exists(name_of(name))


def test_no_text_of_the_database_names_an_erased_customer(known: Customer) -> None:
    named = columns_with(WORDS)
    assert "fittings_customer.family_name" in named  # so that the search can be trusted
    assert "fittings_historicalcustomer.family_name" in named
    assert "patterns_pattern.name" in named
    assert "fittings_ticket.content" in named
    assert "fittings_findable.folded" in named
    assert "fittings_healthnote.words" in named
    assert "fittings_plannedfitting.cancelled_because" in named
    assert "fittings_historicalplannedfitting.cancelled_because" in named
    erase(known, by=None, on=DAY)
    assert columns_with(WORDS) == []


def test_no_file_of_a_photograph_is_left_after_erasing(
    known: Customer, django_capture_on_commit_callbacks: Any
) -> None:
    assert len(stored()) == 4  # as taken, and with its mark for the paper: master and small
    with django_capture_on_commit_callbacks(execute=True):
        erase(known, by=None, on=DAY)
    assert stored() == []
    assert not Photograph.objects.exists()


def test_a_photograph_of_the_paper_pattern_goes_with_the_customer(
    known: Customer, django_capture_on_commit_callbacks: Any
) -> None:
    pattern = PatternVersion.objects.values_list("pattern", flat=True)[0]
    name = store(pattern, Picture(data=b"the name is on the paper", width=1, height=1))
    with django_capture_on_commit_callbacks(execute=True):
        erase(known, by=None, on=DAY)
    assert load(pattern, name) is None


def test_nothing_of_the_history_is_left_after_erasing(known: Customer) -> None:
    keys = keys_of(known, gone_too=True)
    erase(known, by=None, on=DAY)
    left = {
        model.__name__: rows.count()
        for model, mine in keys.items()
        if (rows := history_rows(model, mine)) is not None and rows.exists()
    }
    assert left == {}


def test_measures_notes_and_entries_are_gone_after_erasing(known: Customer) -> None:
    assert all(model.objects.exists() for model in GONE)
    erase(known, by=None, on=DAY)
    assert [model.__name__ for model in GONE if model.objects.exists()] == []


def test_geometry_and_counts_stay_after_erasing(known: Customer) -> None:
    kept = (Order, Fitting, Decision, Outcome, Ticket, TicketLine, PatternVersion)
    before = {model: model.objects.count() for model in kept}
    sides = list(PatternVersion.objects.order_by("pk").values_list("sides", flat=True))
    shifts = [d.outcome["shift_mm"] for d in Decision.objects.all() if d.outcome]
    erase(known, by=None, on=DAY)
    assert {model: model.objects.count() for model in kept} == before
    assert list(PatternVersion.objects.order_by("pk").values_list("sides", flat=True)) == sides
    assert [d.outcome["shift_mm"] for d in Decision.objects.all() if d.outcome] == shifts


def test_the_row_of_an_erased_customer_keeps_its_number_and_nothing_else(known: Customer) -> None:
    erase(known, by=None, on=DAY)
    row = Customer.objects.get(pk=known.pk)
    assert (str(row), row.number, row.erased_on) == (f"Erased {known.number}", known.number, DAY)
    assert (row.phone, row.email, row.address, row.notes, row.record_consent_on) == (
        *("", "", "", ""),
        None,
    )


def test_an_erasure_is_listed_without_a_name(known: Customer) -> None:
    listed = erase(known, by=None, on=DAY)
    assert Erasure.objects.get() == listed
    assert (listed.customer_key, listed.number, listed.erased_on) == (known.pk, known.number, DAY)


def test_an_erased_customer_is_not_erased_twice(known: Customer) -> None:
    erase(known, by=None, on=DAY)
    with pytest.raises(Refused, match="is erased already"):
        erase(known, by=None, on=DAY)


def test_every_model_that_leads_to_a_customer_is_found_without_being_listed() -> None:
    """Asked of Django's own graph of relations, apart from the walk that is tested."""
    for model in personal_models():
        for relation in model._meta.related_objects:
            other = relation.related_model
            assert other in personal_models() or "Historical" in other.__name__, other


def test_what_is_kept_holds_no_free_text_that_is_not_emptied() -> None:
    """A text field added to a row that stays must be said here, or emptied in `KEPT`."""
    harmless = {
        "Order": {"number", "garment", "stage"},
        "Fitting": {"stage"},
        "Decision": {"side", "key", "verdict"},
        "Need": {"side", "rule"},
        "Outcome": {"why_not_counted"},
        "Ticket": {"number"},
        "TicketLine": {"side", "operation", "at_check"},
    }
    for model, emptied in KEPT.items():
        if model is Customer:
            continue
        texts = {
            field.name
            for field in model._meta.concrete_fields
            if field.get_internal_type() in {"CharField", "TextField", "EmailField"}
            and not isinstance(field, ForeignKey)
        }
        assert texts - set(emptied) == harmless[model.__name__], model


def test_every_history_has_the_key_of_its_row() -> None:
    for model in personal_models():
        history = history_of(model)
        if history is not None:
            assert model._meta.pk is not None
            assert model._meta.pk.attname in {f.attname for f in history._meta.concrete_fields}


def test_naming_replaces_whole_words_and_leaves_what_a_programme_reads() -> None:
    naming = Naming(words=("Long", "Ada Long"))
    assert naming.without({"key": "long", "title": "Longer for long Ada"}) == {
        "key": "long",
        "title": "Longer for [erased] Ada",
    }


def test_naming_knows_the_names_that_were_changed(known: Customer) -> None:
    assert set(WORDS) <= set(Naming.of(known).words)


def test_bare_empties_what_was_written_freely_and_keeps_numbers() -> None:
    said = {"reason": "his wife likes it", "shift_mm": 6, "photographs": [{"id": 1}]}
    assert bare([said]) == [{"reason": "", "shift_mm": 6}]
