"""The list of all patterns, found by their own words and by what was cut from them."""

from math import inf
from typing import Final

from django.db.models import Count, Max, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.db.models.lookups import IsNull
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from fittings.models import FindableKind, Order
from fittings.search.folding import MOST_WORDS, as_number
from fittings.search.narrowing import found_among, row_of
from fittings.views.reach import PAGES_AHEAD, keys_of, page_of
from patterns.models import Pattern, PatternVersion

KINDS: Final = (FindableKind.PATTERN, FindableKind.ORDER)
# So many are gathered; of several words the rarest even where it is held by more, and beside it
# those that are held by few.
MOST: Final = 5_000
MOST_OF_SEVERAL: Final = 20_000
FEW: Final = 500
ORDERS: Final = Order.objects.filter(customer__erased_on=None).order_by()


def pattern_list(request: HttpRequest) -> HttpResponse:
    words, retired_too = request.GET.get("q", ""), request.GET.get("retired") == "1"
    rows = Pattern.objects.all() if retired_too else Pattern.objects.in_use()
    # Looked up for the rows of the page alone: grouping would read every version of the shop.
    versions = PatternVersion.objects.filter(pattern=OuterRef("pk")).order_by().values("pattern")
    cut = versions.annotate(cut=Count("orders")).values("cut")
    rows = rows.select_related("branched_from__pattern").annotate(
        newest=Subquery(versions.annotate(newest=Max("number")).values("newest")),
        cut=Coalesce(Subquery(cut), 0),
    )
    rows = rows.order_by("-made_on", "-pk")  # counting drops the order of the model
    found, many = _matching(rows, words)
    page = page_of(request, rows, keys_of(found), ahead=0 if many else PAGES_AHEAD)
    context = {"page": page, "words": words, "retired_too": retired_too}
    return render(request, "pattern_list.html", context)


def _matching(rows: QuerySet[Pattern], words: str) -> tuple[QuerySet[Pattern], bool]:
    """Every word among those the pattern is found by, or those of an order that was cut from it;
    and whether each pattern of the list is asked.

    The patterns with the rarest word are gathered, and asked for the words that are held by many.
    """
    each = words.split()[:MOST_WORDS]
    numbers = [said[0] for word in each if (said := as_number(word))]
    words_of_it = [word for word in each if not as_number(word)]
    found = [_Found(word, FEW if len(each) > 1 else MOST) for word in words_of_it]
    if len(each) > 1 and not numbers and all(one.how_many() == inf for one in found):
        found = [_Found(word, MOST_OF_SEVERAL) for word in words_of_it]
    gathered = bool(numbers)
    for number in numbers:
        rows = rows.filter(_numbered(number))
    for one in sorted(found, key=_Found.how_many):
        few = one.how_many() < inf and (one.how_many() <= FEW or not gathered)
        rows = rows.filter(pk__held=one.patterns()) if few else one.asked_of_each(rows)
        gathered |= few
    return rows, bool(found) and not gathered


def _numbered(number: str) -> Q:
    versions = PatternVersion.objects.filter(orders__number=number)
    return Q(number=number) | Q(pk__in=list(versions.values_list("pattern", flat=True)))


class _Found:
    """Where one word is found: among patterns, and among orders, whose patterns count too."""

    def __init__(self, word: str, most: int) -> None:
        self.found = found_among(word, *KINDS, most=most)

    def how_many(self) -> float:
        each = [keys for _, keys in self.found.values()]
        return sum(inf if keys is None else len(keys) for keys in each)

    def patterns(self) -> set[int]:
        """The keys of these patterns; only where they are not too many to say how many."""
        patterns, orders = (set(self.found[kind][1] or ()) for kind in KINDS)
        cut = ORDERS.filter(pk__held=orders, pattern_version__isnull=False)
        return {*patterns, *cut.values_list("pattern_version__pattern", flat=True)}

    def asked_of_each(self, rows: QuerySet[Pattern]) -> QuerySet[Pattern]:
        pattern, order = (self.found[kind][0] for kind in KINDS)
        of_it = ORDERS.filter(pattern_version__pattern=OuterRef("pk"))
        cut = of_it.filter(IsNull(row_of(order, "pk"), False)).values("pk")[:1]
        found = Coalesce(row_of(pattern, "pk"), Subquery(cut))
        return rows.filter(IsNull(found, False))
