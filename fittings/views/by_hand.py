"""What would be proposed of a reading that is still being dragged."""

from dataclasses import replace
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from fittings.fitting_room.catalogue import keeping_row
from fittings.fitting_room.hand import WouldBe, would_be
from fittings.forms.by_hand import posted
from fittings.forms.folds import FoldForm
from fittings.forms.reading_form import ReadingForm
from fittings.models import Fitting, Side
from fittings.refusals import Refused
from fittings.views.fitting_room import get_fitting, page
from fittings.views.reach import asks_for_a_part, unit_of

NOT_COMPLETE: Final = "Not complete yet: nothing can be proposed of it."
NO_PLACE: Final = "Tap where the fold lies: what would be proposed shows here."


@require_POST
def fitting_preview(request: HttpRequest, pk: int) -> HttpResponse:
    """The answer to a reading as it is filled in now, complete or not. Nothing is kept."""
    row, unit, side = get_fitting(request, pk), unit_of(request), request.POST.get("side", "")
    form = posted(request.POST, side=side, unit=unit)
    if form is None or side not in {Side.LEFT, Side.RIGHT}:
        raise Refused("This kind of reading is not known: open the page anew.")
    if isinstance(form, FoldForm) and not form.is_pinched:
        found = _of_a_fold(row, form)
    else:
        found = [_of(row, form) if form.is_valid() else WouldBe(told=(NOT_COMPLETE,))]
    if asks_for_a_part(request):
        return render(request, "hand_predicted.html", {"would": found, "unit": unit})
    return page(request, row, bound=form, would=found)


def _of(row: Fitting, form: ReadingForm) -> WouldBe:
    """Of a form that was found sound."""
    try:
        return would_be(row, form.side, keeping_row(form.reading()))
    except Refused as refusal:
        return WouldBe(told=(str(refusal),))


def _of_a_fold(row: Fitting, form: FoldForm) -> list[WouldBe]:
    """What each answer of the pinch test would lead to, before one of them is tapped."""
    form.errors.pop("kind", None)
    if not form.data.get("place"):
        return [WouldBe(told=(NO_PLACE,))]
    found = []
    for words, supposed in form.supposed():
        if supposed.is_valid():
            found.append(replace(_of(row, supposed), supposing=words))
        else:
            told = tuple(str(fault) for faults in supposed.errors.values() for fault in faults)
            found.append(WouldBe(supposing=words, told=told))
    return found
