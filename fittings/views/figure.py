"""Figure notes, and how the arms hang."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.forms.arms import ArmsForm
from fittings.forms.customers import FigureNoteForm
from fittings.models import FigureNote
from fittings.refusals import RecordChanged
from fittings.views.customers import arms_of, figure_of
from fittings.views.reach import asks_for_a_part, get_customer, unit_of, who


def figure_note_new(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    note = FigureNote(customer=customer, noted_on=timezone.localdate(), noted_by_id=who(request))
    form = FigureNoteForm(request.POST or None, instance=note)
    saved = request.method == "POST" and form.is_valid()
    if saved:
        form.save()
    status = 422 if request.method == "POST" and not saved else 200
    context = figure_of(customer) | ({} if saved else {"note_form": form})
    if asks_for_a_part(request):
        return render(request, "customer.html#figure-notes", context, status=status)
    if saved:
        messages.success(request, f"Noted: {note}.")
        return redirect(customer)
    return render(request, "figure_note.html", context, status=status)


@require_POST
def figure_note_remove(request: HttpRequest, pk: int, note: int) -> HttpResponse:
    customer = get_customer(request, pk)
    found = get_object_or_404(customer.figure_notes, pk=note)
    found.delete()
    if asks_for_a_part(request):
        return render(
            request, "customer.html#figure-notes", figure_of(customer) | {"removed": found}
        )
    messages.success(request, f"Removed: {found}.")
    return redirect(customer)


def carriage_edit(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_customer(request, pk)
    form = ArmsForm(
        request.POST or None, customer=customer, seen=arms_of(customer), unit=unit_of(request)
    )
    context = {"customer": customer, "form": form}
    if request.method != "POST":
        return render(request, "carriage.html", context)
    if not form.is_valid():
        return render(request, "carriage.html", context, status=422)
    try:
        form.save(who(request))
    except RecordChanged as change:
        form.look_again()
        context |= {"changed": change, "arms": arms_of(customer)}
        return render(request, "carriage.html", context, status=409)
    messages.success(request, "Saved: how the arms hang.")
    return redirect(customer)
