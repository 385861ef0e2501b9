"""Outcomes and shares in sentences, lengths in the unit of whoever reads."""

from __future__ import annotations

from typing import Final

from fittings.models import Decision, Outcome, ShopFactor, SplitBy
from fittings.outcomes.offers import Group, Offer
from fittings.units import format_length
from patterns.rules.experience import CALLED

# Twice the noise of both readings: less than that is not told apart from none.
SIGMAS: Final = 2.0
LEAST_MM: Final = 0.25
EXAMPLE_MM: Final = 9.0


def amount(mm: float, unit: str) -> str:
    """Inches for who reads inches, else mm to the tenth: half a millimetre is no 0.1 cm here."""
    return format_length(round(abs(mm), 1), "in" if unit == "in" else "mm")


def came_said(outcome: Outcome, unit: str) -> str:
    """'At the next fitting: 1.5 mm short of 9 mm, within the noise (give or take 2.2 mm).'"""
    where = "On the next garment" if outcome.next_garment else "At the next fitting"
    ahead = 1 if outcome.predicted_mm >= 0 else -1
    over = outcome.residual_mm * ahead
    predicted = amount(abs(outcome.predicted_mm), unit)
    noise = amount(SIGMAS * outcome.sigma_mm, unit)
    if abs(over) < LEAST_MM:
        return f"{where}: all of {predicted} came (give or take {noise})."
    way = "more than" if over > 0 else "short of"
    told = "within the noise" if abs(over) <= SIGMAS * outcome.sigma_mm else "more than the noise"
    return f"{where}: {amount(abs(over), unit)} {way} {predicted}, {told} (give or take {noise})."


def came_of(decision: Decision | None, unit: str) -> str:
    """The sentence of what came of a decision; "" where nothing was read since."""
    outcome = getattr(decision, "came_of_it", None)
    return came_said(outcome, unit) if outcome is not None else ""


def is_told_apart(outcome: Outcome) -> bool:
    """Whether what came differs from what was predicted by more than the noise."""
    return abs(outcome.residual_mm) > SIGMAS * outcome.sigma_mm


def of_what(group: Group | ShopFactor) -> str:
    """'the turn in the armhole' or 'the turn in the armhole, heavy cloth ...'."""
    called = CALLED.get(group.rule, group.rule)
    return f"{called}, {group.split_words}" if group.split_by != SplitBy.ALL else called


def offer_said(offer: Offer, unit: str) -> str:
    """The offer as a sentence with its numbers in it."""
    low, high = offer.interval
    example = amount(EXAMPLE_MM, unit)
    asked = amount(EXAMPLE_MM / offer.held, unit)
    return (
        f"This shop's sleeves take {offer.held:.2f} of {of_what(offer.group)} "
        f"(between {low:.2f} and {high:.2f}, from {offer.group.coats} garments): "
        f"{example} would ask for {asked}."
    )
