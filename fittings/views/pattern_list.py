"""The list of all patterns, found by their own words and by what was cut from them."""

from typing import Final

from django.db.models import Count, Exists, Max, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from fittings.models import FindableKind, Order
from fittings.search.folding import MOST_WORDS, as_number
from fittings.search.looking import Many, keys
from fittings.views.reach import page_of
from patterns.models import Pattern, PatternVersion

KINDS: Final = (FindableKind.PATTERN, FindableKind.ORDER)
FEW: Final = 500


def pattern_list(request: HttpRequest) -> HttpResponse:
    words, retired_too = request.GET.get("q", ""), request.GET.get("retired") == "1"
    rows = _matching(Pattern.objects.all() if retired_too else Pattern.objects.in_use(), words)
    # Looked up for the rows of the page alone: grouping would read every version of the shop.
    versions = PatternVersion.objects.filter(pattern=OuterRef("pk")).order_by().values("pattern")
    cut = versions.annotate(cut=Count("orders")).values("cut")
    rows = rows.select_related("branched_from__pattern").annotate(
        newest=Subquery(versions.annotate(newest=Max("number")).values("newest")),
        cut=Coalesce(Subquery(cut), 0),
    )
    rows = rows.order_by("-made_on", "-pk")  # counting drops the order of the model
    context = {"page": page_of(request, rows), "words": words, "retired_too": retired_too}
    return render(request, "pattern_list.html", context)


def _matching(rows: QuerySet[Pattern], words: str) -> QuerySet[Pattern]:
    """Every word among those the pattern is found by, or those of an order that was cut from it.

    Where one of them is held by few, the others are asked of those few.
    """
    each = words.split()[:MOST_WORDS]
    numbers = [said[0] for word in each if (said := as_number(word))]
    others = [word for word in each if not as_number(word)]
    found = [keys(word, *KINDS, most=FEW) for word in others] if len(each) > 1 else []
    if not numbers and all(isinstance(one, Many) for one in found):
        found = [keys(word, *KINDS) for word in others]
    for held in (*map(_numbered, numbers), *map(_held, found)):
        rows = rows.filter(held)
    return rows


def _numbered(number: str) -> Q:
    versions = PatternVersion.objects.filter(orders__number=number)
    return Q(number=number) | Q(pk__in=list(versions.values_list("pattern", flat=True)))


def _held(found: dict[FindableKind, list[int]] | Many) -> Q:
    orders = Order.objects.filter(customer__erased_on=None)
    if isinstance(found, Many):
        cut_from_it = orders.filter(pattern_version__pattern=OuterRef("pk"))
        cut = Exists(cut_from_it.filter(found.holds(FindableKind.ORDER, "pk")))
        return Q(found.holds(FindableKind.PATTERN, "pk")) | Q(cut)
    cut_for = orders.filter(pk__in=found[FindableKind.ORDER], pattern_version__isnull=False)
    patterns = cut_for.values_list("pattern_version__pattern", flat=True)
    return Q(pk__in={*found[FindableKind.PATTERN], *patterns})
