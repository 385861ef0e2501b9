"""What the customer agrees to: asked once, recorded with its day, taken back at any time."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from django.utils import timezone

from fittings.bench.print_queue import lay_out_anew
from fittings.errands.under_way import forget_packed
from fittings.models import Customer
from fittings.refusals import Refused
from patterns.history import PEOPLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Consent:
    """One thing to agree to: the field of the customer that keeps its day, and how it is asked."""

    key: str
    field: str
    words: str
    ask: str


CONSENTS: Final = (
    Consent(
        key="record",
        field="record_consent_on",
        words="The record",
        ask="May we keep your name, measures and fittings?",
    ),
    Consent(
        key="photographs",
        field="fitting_photo_consent_on",
        words="Photographs to fit by",
        ask="May we photograph the fitting? Only the shop sees it; you can take it back.",
    ),
    Consent(
        key="publishing",
        field="publish_photo_consent_on",
        words="Photographs published",
        ask="May we show photographs of you to others? Asked by itself; no is no trouble.",
    ),
)
# Asked for by itself, where somebody wants to tell of it: never at every fitting.
HEALTH: Final = Consent(
    key="health",
    field="health_consent_on",
    words="Notes of health",
    ask="May we write down what the fitting must heed of your health? Only those who fit you and "
    "the owner can open it; you can take it back.",
)
# In the history, of what a tap took back: the act beside it has the time of the device.
BY_TAP: Final = "taken back by a tap"
BY_KEY: Final = {consent.key: consent for consent in CONSENTS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How one consent stands; who asked, where the record says so; how often it was taken back."""

    consent: Consent
    on: dt.date | None
    asked_by: str
    taken_back: int


def standing(customer: Customer) -> list[Standing]:
    """How each consent that is asked at a fitting stands, in two queries."""
    return _standing(customer, CONSENTS)


def standing_of(customer: Customer, consent: Consent) -> Standing:
    return _standing(customer, (consent,))[0]


def _standing(customer: Customer, consents: tuple[Consent, ...]) -> list[Standing]:
    history: Any = customer.history
    steps = list(history.select_related(*PEOPLE).order_by("history_id"))
    taps = customer.acts.filter(kind__in=[withdrawal(consent) for consent in consents])
    by_tap = Counter(taps.values_list("kind", flat=True))
    return [
        Standing(
            consent=consent,
            on=getattr(customer, consent.field),
            asked_by=_asked_by(steps, consent.field) if getattr(customer, consent.field) else "",
            taken_back=by_tap[withdrawal(consent)] + len(_cleared(steps, consent)),
        )
        for consent in consents
    ]


def _asked_by(steps: list[Any], field: str) -> str:
    """Who saved the change after which the consent has stood ever since."""
    asked, before = "", None
    for step in steps:
        now = getattr(step, field)
        if now != before:
            asked = step.history_who
        before = now
    return asked


def agree(customer: Customer, consent: Consent, *, at: dt.datetime, over: str = "") -> None:
    """Record that it was asked and agreed to at that moment. Said twice, the first day stands.

    `over`: how often it had been taken back, as the page showed it on which it was agreed to. With
    every no before one's eyes, this yes comes after them, whatever a clock says. Otherwise the
    clocks decide: refuses (Refused) where it was taken back since, so that a yes that was long on
    its way never overrules a later no.
    """
    noes = _taken_back(customer, consent)
    if noes and over != str(len(noes)) and max(noes) > at:
        raise Refused(
            f"{consent.words}: this was taken back {timezone.localtime(max(noes)):%-d %b, %H:%M}, "
            "after it was agreed to. Ask again."
        )
    if getattr(customer, consent.field) is None:
        setattr(customer, consent.field, timezone.localdate(at))
        customer.save_over(customer.version)


def withdraw(customer: Customer, consent: Consent) -> None:
    """Record that it is taken back; who and when stands in the history. A no always counts.

    Refuses (Refused) for the record itself: that is the owner's to erase.
    """
    if consent.key == "record":
        raise Refused(
            "Without this consent there is no record: ask the owner to erase the customer."
        )
    if getattr(customer, consent.field) is not None:
        setattr(customer, consent.field, None)
        customer._change_reason = BY_TAP  # type: ignore[attr-defined]
        customer.save_over(customer.version)
        lay_out_anew(customer)
        forget_packed(customer)


def withdrawal(consent: Consent) -> str:
    """The kind of act that is kept of every taking back, with the time of the device."""
    return f"taken back: {consent.key}"


def _taken_back(customer: Customer, consent: Consent) -> list[dt.datetime]:
    """When it was taken back, each time: by a tap as the device says, or in the customer's form."""
    taps = customer.acts.filter(kind=withdrawal(consent)).values_list("made_at", flat=True)
    history: Any = customer.history
    return [*taps, *_cleared(history.order_by("history_id"), consent)]


def _cleared(steps: Iterable[Any], consent: Consent) -> list[dt.datetime]:
    """When its day was cleared in the customer's form."""
    times, before = [], None
    for step in steps:
        now = getattr(step, consent.field)
        if now is None and before is not None and step.history_change_reason != BY_TAP:
            times.append(step.history_date)
        before = now
    return times
