"""What the record gives to learn from, what of it is offered, and what the owner accepted."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction
from django.db.models import Count, Exists, F, OuterRef, Q

from fittings.models import Decision, Fitting, Need, Outcome, ShopFactor, SplitBy, Ticket, Verdict
from fittings.outcomes.cloths import weight_band
from fittings.outcomes.factors import Came, Read
from fittings.outcomes.offers import Group, Offer, ReadAgain, offers
from fittings.refusals import Refused

if TYPE_CHECKING:
    from tailorshop.models import User

# Older outcomes than this many say little of how the shop works now, and take long to add up.
NEWEST: Final = 4000


def shop_offers() -> list[Offer]:
    """Every share the record could give, offered or not. Three queries."""
    return offers(_groups(), _first_reads(), read_again())


def _groups() -> list[Group]:
    rows = (
        Outcome.objects.filter(why_not_counted="")
        .exclude(worked_mm=0)
        .order_by("-pk")
        .values(
            "before_mm",
            "before_sigma_mm",
            "worked_mm",
            "after_mm",
            "after_sigma_mm",
            rule=F("need__rule"),
            order=F("need__fitting__order"),
            grams=F("need__fitting__order__cloth_weight_g"),
            maker=F("need__fitting__order__maker"),
            first_name=F("need__fitting__order__maker__first_name"),
            last_name=F("need__fitting__order__maker__last_name"),
        )[:NEWEST]
    )
    found: defaultdict[tuple[str, str, str], list[Came]] = defaultdict(list)
    words: dict[tuple[str, str, str], str] = {}
    for row in rows:
        for split_by, split, said in _splits(row):
            key = row["rule"], split_by, split
            words[key] = said
            found[key].append(_came(row))
    return [
        Group(rule=key[0], split_by=key[1], split=key[2], split_words=words[key], came=tuple(came))
        for key, came in found.items()
    ]


def _splits(row: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    yield "", "", ""
    if row["grams"] is not None:
        band = weight_band(row["grams"])
        yield SplitBy.CLOTH.value, band.key, band.words
    if row["maker"] is not None:
        name = f"{row['first_name']} {row['last_name']}".strip() or "a maker without a name"
        yield SplitBy.MAKER.value, str(row["maker"]), f"made by {name}"


def _came(row: Mapping[str, Any]) -> Came:
    return Came(
        coat=row["order"],
        before=Read(value_mm=row["before_mm"], sigma_mm=row["before_sigma_mm"]),
        worked_mm=row["worked_mm"],
        after=Read(value_mm=row["after_mm"], sigma_mm=row["after_sigma_mm"]),
    )


def _first_reads() -> dict[str, Sequence[Read]]:
    rows = Need.objects.filter(first=True, measured=True).order_by("-pk")
    found: defaultdict[str, list[Read]] = defaultdict(list)
    for rule, need_mm, sigma_mm in rows.values_list("rule", "need_mm", "sigma_mm")[:NEWEST]:
        found[rule].append(Read(value_mm=need_mm, sigma_mm=sigma_mm))
    return dict(found)


def read_again() -> dict[str, ReadAgain]:
    """By rule: worked corrections of garments that were fitted again, and those read then."""
    later = Fitting.objects.filter(
        order=OuterRef("fitting__order"),
        held_on__gt=OuterRef("fitting__held_on"),
        signed_at__isnull=False,
    )
    rows = (
        Decision.objects.standing()
        .exclude(verdict=Verdict.REFUSED)
        .filter(Exists(later), Exists(Ticket.objects.filter(fitting=OuterRef("fitting"))))
        .values("key")
        .annotate(
            worked=Count("pk", distinct=True),
            read=Count("came_of_it", distinct=True, filter=Q(came_of_it__next_garment=False)),
        )
    )
    found: dict[str, ReadAgain] = {}
    for row in rows.order_by("key"):
        rule = row["key"].partition(":")[2]
        so_far = found.get(rule, ReadAgain(worked=0, read=0))
        found[rule] = ReadAgain(
            worked=so_far.worked + row["worked"], read=so_far.read + row["read"]
        )
    return found


def accept(rule: str, split_by: str, split: str, *, by: User, at: dt.datetime) -> ShopFactor:
    """Take an offered share into use; the one before it is withdrawn and kept.

    Refuses (Refused) what is not offered any more.
    """
    key = (rule, split_by, split)
    with transaction.atomic():
        offer = next((o for o in shop_offers() if o.group.key == key and o.is_offered), None)
        if offer is None or offer.found is None:
            raise Refused("This is not offered any more: look at what the outcomes say now.")
        ShopFactor.objects.filter(
            rule=rule, split_by=split_by, split=split, withdrawn_at=None
        ).update(withdrawn_at=at, withdrawn_by=by)
        low, high = offer.interval
        return ShopFactor.objects.create(
            rule=rule,
            split_by=split_by,
            split=split,
            split_words=offer.group.split_words,
            share=round(offer.held, 2),
            measured=offer.found.value,
            low=low,
            high=high,
            tau=offer.found.tau,
            coats=offer.group.coats,
            accepted_at=at,
            accepted_by=by,
        )


def withdraw(factor: ShopFactor, *, by: User, at: dt.datetime) -> None:
    """Proposals made from now on go by the law again; withdrawn twice is withdrawn once."""
    if factor.withdrawn_at is None:
        factor.withdrawn_at, factor.withdrawn_by = at, by
        factor.save(update_fields=["withdrawn_at", "withdrawn_by"])
