"""A record from elsewhere written into this one: all of it or nothing."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter as Counts
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from django.contrib.auth import get_user_model
from django.db import DataError, IntegrityError, models, transaction

from fittings.belonging import AnyModel, history_of
from fittings.carrying.numbers import COUNTED, number_here
from fittings.carrying.opening import Opened
from fittings.carrying.read_back import check_reads
from fittings.carrying.record import carried_models
from fittings.carrying.rows import (
    AnyField,
    Data,
    check_choices,
    check_days,
    insert,
    kind_of,
    model_of,
    understood,
)
from fittings.models import CarriedIn, Customer, Maker, Ticket
from fittings.photographs.keeping import keep
from fittings.refusals import Refused
from fittings.search.keeping import KIND_OF
from fittings.search.keeping import keep as keep_found
from patterns.models import Pattern, PatternVersion

if TYPE_CHECKING:
    from tailorshop.models import User

NOT_YET = object()
DIGEST = re.compile(r"[0-9a-f]{64}")


@dataclass(kw_only=True)
class Brought:
    """What was made, or would be: rows by kind in words, numbers anew, people made, earlier states
    of rows that were deleted there and so have nothing here to belong to."""

    customer: Customer | None = None
    rows: Counts[str] = field(default_factory=Counts)
    old_numbers: dict[str, str] = field(default_factory=dict)
    people: list[str] = field(default_factory=list)
    photographs: int = 0
    left_out: int = 0


class _DryRun(Exception):
    """Undoes what was written to see what would be."""


def look(opened: Opened, *, by: User | None, at: dt.datetime) -> Brought:
    """What `bring_in` would make: it is really done, and undone. Refuses as `bring_in`."""
    brought = Brought()
    try:
        with transaction.atomic():
            brought = _write(opened, by, at)
            raise _DryRun
    except _DryRun:
        brought.photographs = len(opened.photographs())
        return brought


def bring_in(opened: Opened, *, by: User | None, at: dt.datetime) -> Brought:
    """Write the record. Refuses (Refused) one that is here already, and whatever is not sound."""
    photographs = opened.photographs()
    for taken in photographs.values():
        keep(taken)
    with transaction.atomic():
        brought = _write(opened, by, at)
    brought.photographs = len(photographs)
    return brought


def _write(opened: Opened, by: User | None, at: dt.datetime) -> Brought:
    _check_is_new(opened)
    writing = _Writing(opened.said)
    try:
        with transaction.atomic():
            writing.people()
            writing.rows()
            writing.history()
            writing.let_be_found()
    except (IntegrityError, DataError) as fault:
        raise Refused(f"The record does not fit together: {str(fault)[:120]}") from None
    brought = writing.brought
    if brought.customer is None:
        raise Refused("The record names no customer.")
    made = writing.keys.get(PatternVersion, {}).values()
    check_reads(brought.customer, list(PatternVersion.objects.filter(pk__in=made)))
    CarriedIn.objects.create(
        customer=brought.customer,
        record_sha256=opened.sha256,
        from_shop=str(opened.said["shop"])[:120],
        old_numbers=brought.old_numbers,
        carried_at=at,
        carried_by=by,
    )
    return brought


def _check_is_new(opened: Opened) -> None:
    rows = opened.said["rows"].get(kind_of(Customer), [])
    if len(rows) != 1:
        raise Refused("The record is not that of one customer.")
    if rows[0].get("erased_on"):
        raise Refused("The customer of this record was erased. Nothing was brought in.")
    _check_papers(opened.said["rows"].get(kind_of(Ticket), []))
    names = {n: rows[0].get(n) for n in ("number", "given_name", "family_name")}
    same = Customer.objects.present().filter(**names).first()
    before = (
        CarriedIn.objects.filter(record_sha256=opened.sha256).select_related("customer").first()
    )
    here = same or (before.customer if before else None)
    if here is not None:
        raise Refused(f"This record is here already: {here.number} {here}. Nothing was brought in.")
    for kind, said in opened.said["rows"].items():
        model = model_of(kind)
        if isinstance(model._meta.pk, models.UUIDField):
            keys = [row.get(model._meta.pk.name) for row in said]
            if model._default_manager.filter(pk__in=keys).exists():
                raise Refused("Fittings of this record are here already. Nothing was brought in.")


def _check_papers(tickets: list[Data]) -> None:
    """Refuse (Refused) a paper whose photographs could not be found when they are to be erased."""
    for ticket in tickets:
        content = ticket.get("content")
        named = content.get("photographs", []) if isinstance(content, dict) else None
        if not isinstance(named, list) or not all(map(_names_a_file, named)):
            raise Refused(
                f"Ticket {str(ticket.get('number'))[:12]} of this record cannot be read. Nothing "
                "was brought in."
            )


def _names_a_file(said: Any) -> bool:
    return isinstance(said, dict) and bool(DIGEST.fullmatch(str(said.get("sha256"))))


class _Writing:
    """The rows of one record on their way in: the key here for each key there."""

    def __init__(self, said: Mapping[str, Any]) -> None:
        self.said = said
        self.brought = Brought()
        self.keys: dict[AnyModel, dict[str, Any]] = {}
        # Makers who work for this shop too: their history here is this shop's own.
        self.of_here: set[tuple[AnyModel, Any]] = set()
        self.later: list[tuple[models.Model, AnyField, str]] = []

    def people(self) -> None:
        """Whoever is named: the same person here, or an account that nobody can sign in with."""
        people: Any = get_user_model()
        keys = self.keys.setdefault(people, {})
        for one in self.said["people"]:
            named = {n: one[n] for n in ("username", "first_name", "last_name")}
            here = people.objects.filter(**named).first()
            if here is None:
                free = _free_username(people, one["username"])
                here = people(**{**named, "username": free}, role=one["role"], is_active=False)
                here.set_unusable_password()
                here.full_clean(exclude=["password"])
                here.save()
                self.brought.people.append(str(here))
            keys[str(one["id"])] = here.pk

    def rows(self) -> None:
        for model in carried_models():
            for data in self.said["rows"].get(kind_of(model), []):
                self._row(model, data)
        for row, told, there in self.later:
            key = self._key(told, there)
            if key is NOT_YET:
                raise Refused(f"The record does not fit together: {told} points to nothing.")
            type(row)._default_manager.filter(pk=row.pk).update(**{told.attname: key})

    def _row(self, model: AnyModel, data: Data) -> None:
        there = str(data.get(_pk(model).name))
        waiting: list[tuple[AnyField, str]] = []

        def pointing(told: AnyField, key: Any) -> Any:
            if told.primary_key:
                return key if isinstance(told, models.UUIDField) else None
            found = self._key(told, key)
            if found is NOT_YET:
                waiting.append((told, str(key)))
                return None
            return found

        row = understood(model, data, pointing)
        check_days(row)
        check_choices(row)
        here = Maker.objects.outside().filter(name=data["name"]).first() if model is Maker else None
        if here is not None:
            self.of_here.add((model, here.pk))
        else:
            self._number(model, row)
            insert(row)
            if isinstance(row, Pattern):
                self._number_pattern(row, data.get("number"))
            self.brought.rows[str(model._meta.verbose_name_plural)] += 1
        self.keys.setdefault(model, {})[there] = (here or row).pk
        self.later += [(row, told, key) for told, key in waiting]
        if isinstance(row, Customer):
            self.brought.customer = row

    def _key(self, told: AnyField, there: Any) -> Any:
        return self.keys.get(told.related_model, {}).get(str(there), NOT_YET)  # type: ignore[arg-type]

    def _number(self, model: AnyModel, row: Any) -> None:
        """Revisions of one ticket share their number here as there."""
        if model is Pattern:
            row.number = None  # until its key is known
        if model not in COUNTED:
            return
        there = row.number
        known = self.keys.setdefault(model, {})
        named = f"number {there}"
        if named not in known:
            known[named] = number_here(model, there)
        row.number = known[named]
        if row.number != there:
            self.brought.old_numbers[there] = row.number

    def _number_pattern(self, row: Pattern, there: str | None) -> None:
        """Patterns are numbered by their key, which only grows: an older number stays the only one
        of it, where it is free."""
        count = re.fullmatch(r"P-([0-9]{4,9})", there or "")
        free = not Pattern.objects.filter(number=there).exists()
        keeps = count and free and int(count[1]) <= row.pk
        row.number = there if there and keeps else f"P-{row.pk:04d}"
        Pattern.objects.filter(pk=row.pk).update(number=row.number)
        if there and row.number != there:
            self.brought.old_numbers[there] = row.number

    def history(self) -> None:
        """Earlier states, of rows that are there still; of others there is nothing to belong to."""
        for model in carried_models():
            past = history_of(model)
            for data in self.said["history"].get(kind_of(past), []) if past else ():
                self._earlier(model, past, data)

    def let_be_found(self) -> None:
        """The search does not see rows that are written as they are."""
        for model, kind in KIND_OF.items():
            known = self.keys.get(model, {})
            here = [key for there, key in known.items() if not there.startswith("number ")]
            keep_found(kind, model._default_manager.filter(pk__in=here))

    def _earlier(self, model: AnyModel, past: Any, data: Data) -> None:
        key = _pk(model).name
        here = self.keys.get(model, {}).get(str(data.get(key)))
        if here is None:
            self.brought.left_out += 1
            return
        if (model, here) in self.of_here:
            return

        def pointing(told: AnyField, there: Any) -> Any:
            if told.primary_key:
                return None
            found = self._key(told, there)
            return None if found is NOT_YET else found

        row: Any = understood(past, {**data, key: None}, pointing)
        check_days(row)
        setattr(row, key, here)
        if model in COUNTED or model is Pattern:
            row.number = self.brought.old_numbers.get(row.number, row.number)
        insert(row)


def _pk(model: AnyModel) -> AnyField:
    assert model._meta.pk is not None  # every model has one  # noqa: S101 # nosec B101
    return model._meta.pk


def _free_username(people: Any, wanted: str) -> str:
    """The same name, or with a number after it."""
    for n in range(1, 1000):
        name = wanted if n == 1 else f"{wanted[:140]}-{n}"
        if not people.objects.filter(username=name).exists():
            return name
    raise Refused(f"Too many people are called {wanted[:40]} here.")
