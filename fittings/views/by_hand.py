"""What would be proposed of a reading that is still being dragged."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from fittings.catalogue import keeping_row
from fittings.forms.by_hand import posted
from fittings.hand import WouldBe, would_be
from fittings.models import Side
from fittings.refusals import Refused
from fittings.views.fitting_room import get_fitting, page
from fittings.views.reach import asks_for_a_part, unit_of


@require_POST
def fitting_preview(request: HttpRequest, pk: int) -> HttpResponse:
    """The answer to a reading as it is filled in now. Nothing is kept."""
    row, unit, side = get_fitting(request, pk), unit_of(request), request.POST.get("side", "")
    form = posted(request.POST, side=side, unit=unit)
    if form is None or side not in {Side.LEFT, Side.RIGHT}:
        raise Refused("This kind of reading is not known: open the page anew.")
    found, status = WouldBe(told=("Not complete yet: nothing can be proposed of it.",)), 422
    if form.is_valid():
        try:
            found, status = would_be(row, side, keeping_row(form.reading())), 200
        except Refused as refusal:
            found = WouldBe(told=(str(refusal),))
    if asks_for_a_part(request):
        return render(request, "hand_predicted.html", {"would": found, "unit": unit}, status=status)
    return page(request, row, bound=form, would=found, status=status)
