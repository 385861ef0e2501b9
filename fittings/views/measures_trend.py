"""A customer's measures through the years: several sets beside each other, and their trend."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from fittings.measures.trends import content_hash, lines, plot_svg, sets_of, table
from fittings.views.reach import get_customer, unit_of


@require_safe
def measures_trend(request: HttpRequest, pk: int) -> HttpResponse:
    customer, unit = get_customer(request, pk), unit_of(request)
    sets = sets_of(customer)
    drawn = lines(sets)
    context = {
        "customer": customer,
        "sets": sets,
        "rows": table(sets, unit),
        "drawn": [label for label, _ in drawn],
        "hash": content_hash(drawn, unit),
    }
    return render(request, "measures_trend.html", context)


def _is_narrow(request: HttpRequest) -> bool:
    return "narrow" in request.GET


@require_safe
def measures_plot(request: HttpRequest, pk: int) -> HttpResponse:
    drawn = lines(sets_of(get_customer(request, pk)))
    if not drawn:
        raise Http404("Nothing was measured twice yet.")
    plot = plot_svg(drawn, unit_of(request), narrow=_is_narrow(request))
    answer = HttpResponse(plot, content_type="image/svg+xml")
    answer["Cache-Control"] = "private, no-store"
    answer["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    return answer
