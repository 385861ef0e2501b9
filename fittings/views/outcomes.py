"""The shop's own shares: offered to the owner, used once accepted, withdrawn again."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.models import ShopFactor
from fittings.outcomes import learning
from fittings.outcomes.offers import ERROR, LEAST_COATS, LEAST_DIFFERENCE, Offer
from fittings.outcomes.said import of_what, offer_said
from fittings.views.reach import page_of, unit_of
from fittings.views.sent import signed_in


def shop_factors(request: HttpRequest) -> HttpResponse:
    unit, used = unit_of(request), ShopFactor.objects.select_related("accepted_by", "withdrawn_by")
    standing = list(used.filter(withdrawn_at=None))
    known = {(f.rule, f.split_by, f.split): f for f in standing}
    found = learning.shop_offers()
    offered = [o for o in found if o.is_offered and not _is_used(o, known)]
    page = page_of(request, used.filter(~Q(withdrawn_at=None)))
    context = {
        "offered": [(o, offer_said(o, unit)) for o in offered],
        "others": [(o, of_what(o.group)) for o in found if o not in offered],
        "standing": [(f, of_what(f)) for f in standing],
        "page": page,
        "withdrawn": [(f, of_what(f)) for f in page],
        "least_coats": LEAST_COATS,
        "least_difference": f"{LEAST_DIFFERENCE:.0%}",
        "error": f"{ERROR:.0%}",
    }
    return render(request, "shop_factors.html", context)


def _is_used(offer: Offer, known: dict[tuple[str, str, str], ShopFactor]) -> bool:
    standing = known.get(offer.group.key)
    return standing is not None and abs(standing.share - offer.held) < LEAST_DIFFERENCE


@require_POST
def shop_factor_accept(request: HttpRequest) -> HttpResponse:
    """Refused (422) where it is not offered any more."""
    key = (request.POST.get(name, "") for name in ("rule", "split_by", "split"))
    factor = learning.accept(*key, by=signed_in(request), at=timezone.now())
    messages.success(request, f"In use from now on: {factor.share:.2f} of {of_what(factor)}.")
    return redirect("shop-factors")


@require_POST
def shop_factor_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    factor = get_object_or_404(ShopFactor, pk=pk)
    learning.withdraw(factor, by=signed_in(request), at=timezone.now())
    messages.success(request, f"Withdrawn: {of_what(factor)} goes by the law again.")
    return redirect("shop-factors")
