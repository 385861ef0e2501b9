"""Which of the shop's accepted factors hold for one side of one fitting."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils import timezone

from fittings.models import Decision, Fitting, Order, ShopFactor, SplitBy
from fittings.outcomes.cloths import weight_band


def factors_for(fitting: Fitting) -> list[ShopFactor]:
    """The factors that hold at a fitting: as they stood when it was signed, else as of now.

    One query; of several for one rule the one that says more of this garment comes last.
    """
    at = fitting.signed_at or timezone.now()
    mine = [f for f in ShopFactor.objects.in_force(at) if _holds(f, fitting.order)]
    return sorted(mine, key=lambda f: (f.split_by != SplitBy.ALL, f.coats, f.pk))


def _holds(factor: ShopFactor, order: Order) -> bool:
    if factor.split_by == SplitBy.CLOTH:
        return factor.split == weight_band(order.cloth_weight_g).key
    if factor.split_by == SplitBy.MAKER:
        return factor.split == str(order.maker_id)
    return True


def shares(factors: Iterable[ShopFactor], decided: Iterable[Decision]) -> dict[str, float]:
    """By rule the share to use on one side; a decided proposal keeps the one it was made with."""
    now = {factor.rule: factor.share for factor in factors}
    then = {d.key.partition(":")[2]: float(d.proposal.get("shop_share", 1.0)) for d in decided}
    return now | then
