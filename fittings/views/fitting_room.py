"""The page of a fitting and every entry on it."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.diary.planning import keep_plans_of
from fittings.fitting_room.catalogue import keeping_row
from fittings.fitting_room.changes import mark_of
from fittings.fitting_room.decisions import sign as sign_fitting
from fittings.fitting_room.entries import (
    add_entry,
    checks_of,
    remove_entry,
    restore_entry,
    settle_up_to,
)
from fittings.fitting_room.said import entry_said
from fittings.forms.amounts import focus_on_fault
from fittings.forms.by_hand import posted
from fittings.forms.fitting import FITTED_AT, FittingForm
from fittings.forms.reading_form import ReadingForm
from fittings.looked_at import looked_at
from fittings.models import EntryKind, Fitting, Question, Side, Stage
from fittings.refusals import Frozen, RecordChanged, Refused
from fittings.ticketing.issuing import issue
from fittings.views.fitting_parts import Bound, room
from fittings.views.reach import asks_for_a_part, form_page, get_order, unit_of, who
from fittings.views.sent import identity_of, made_at, seen_of, signed_in

CHECK_STATES = frozenset({"settled", "open", "all-settled"})


def get_fitting(request: HttpRequest, pk: int) -> Fitting:
    """A fitting with all that its page names, unless the customer is erased."""
    rows = Fitting.objects.filter(order__customer__erased_on=None).select_related(
        "order__customer", "order__pattern_version__pattern", "pattern_version__pattern"
    )
    row = get_object_or_404(rows.select_related("fitter", "signed_by"), pk=pk)
    looked_at(request, row.order.customer_id)
    return row


def fitting_new(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_order(request, pk)
    stage = order.stage if order.stage in FITTED_AT else Stage.BASTE
    row = Fitting(order=order, stage=stage, held_on=timezone.localdate(), fitter_id=who(request))
    form = FittingForm(request.POST or None, instance=row)
    if form.is_valid() and (open_now := _open_already(form.instance)):
        # Sent twice, or two people at one customer: one fitting, so that nothing is read apart.
        messages.success(request, f"Already open: {open_now}.")
        return redirect(open_now)
    return form_page(
        request, form, "fitting_new.html", said="Opened: {}.", then=_opened, order=order
    )


def _opened(row: Fitting) -> str:
    keep_plans_of(row)
    return row.get_absolute_url()


def _open_already(row: Fitting) -> Fitting | None:
    same = Fitting.objects.filter(order=row.order, stage=row.stage, held_on=row.held_on)
    return same.filter(signed_at=None).first()


def fitting(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_fitting(request, pk)
    if request.method != "POST":
        return page(request, row)
    # The form writes into its row what was typed; the page shows what is kept.
    facts = FittingForm(request.POST, instance=get_fitting(request, pk))
    context: dict[str, Any] = {"facts": facts}
    if row.is_signed:
        raise Frozen("This fitting is signed: its stage, day and what was worn stay as signed.")
    if not facts.is_valid():
        return page(request, row, status=422, **context)
    try:
        facts.save_seen()
    except RecordChanged as change:
        context |= {"changed": change, "beside": facts.compare()}
        return page(request, row, status=409, **context)
    messages.success(request, "Saved: stage, day and what is worn under.")
    return redirect(row)


def page(request: HttpRequest, row: Fitting, *, status: int = 200, **more: Any) -> HttpResponse:
    """The whole page; `more` takes a form with faults in it, or a refusal, among others."""
    bound, refusal = more.pop("bound", None), more.pop("refusal", "")
    # Read first: a mark newer than what is shown would hide what was kept in between for good.
    mark = mark_of(row)
    context = room(row, unit_of(request), bound=bound, refusal=refusal)
    asked = Question.objects.of_order(row.order).open().with_paper()
    context |= {"facts": FittingForm(instance=row), "asked": asked, "mark": mark} | more
    return render(request, "fitting.html", context, status=status)


@require_POST
def entry(request: HttpRequest, pk: int) -> HttpResponse:
    """Take one reading of a side, or one check of the body."""
    row, unit = get_fitting(request, pk), unit_of(request)
    if "check" in request.POST:
        return _check(request, row)
    side = _side(request)
    form = posted(request.POST, side=side, unit=unit)
    if form is None:
        raise Refused("This kind of reading is not known: open the page anew.")
    if not form.is_valid():
        return not_saved(request, row, form)
    try:
        read = keeping_row(form.reading())
        kept = _keep(request, row, side, EntryKind.READING, read, form)
    except Refused as refusal:
        form.refuse(str(refusal))
        return not_saved(request, row, form)
    return saved(request, row, entry_said(kept, unit), side=side, focus=f"entry-{kept.pk}")


def _check(request: HttpRequest, row: Fitting) -> HttpResponse:
    name, state = request.POST["check"], request.POST.get("state", "")
    if name not in {c.id for c in checks_of(row)} or state not in CHECK_STATES:
        raise Refused("This check is not known: open the page anew.")
    if state == "all-settled":
        by, at = signed_in(request), made_at(request)
        kept = settle_up_to(row, name, by=by, made_at=at, identity=identity_of(request))
    else:
        data = {"check": name, "state": state} | seen_of(request)
        kept = _keep(request, row, Side.BODY, EntryKind.CHECK, data, None)
    return saved(request, row, entry_said(kept, unit_of(request)), check=name)


def _keep(
    request: HttpRequest,
    row: Fitting,
    side: str,
    kind: str,
    data: dict[str, Any],
    form: ReadingForm | None,
) -> Any:
    identity = form.cleaned_data["identity"] if form else identity_of(request)
    return add_entry(
        row,
        side=side,
        kind=kind,
        data=data,
        by=signed_in(request),
        made_at=made_at(request),
        identity=identity,
    )


def _side(request: HttpRequest) -> str:
    side = request.POST.get("side", "")
    if side not in {Side.LEFT, Side.RIGHT}:
        raise Refused("Say whether it is the wearer's left or the wearer's right.")
    return side


@require_POST
def entry_remove(request: HttpRequest, pk: int, entry: uuid.UUID) -> HttpResponse:
    """Take an entry back, or with `back` put it back."""
    row = get_fitting(request, pk)
    found = get_object_or_404(row.entries, pk=entry)
    words = entry_said(found, unit_of(request))
    done = "Put back" if "back" in request.POST else "Taken back"
    try:
        if "back" in request.POST:
            restore_entry(row, found, identity=identity_of(request))
        else:
            by, at = signed_in(request), made_at(request)
            remove_entry(row, found, by=by, at=at, identity=identity_of(request))
    except Frozen as refusal:
        return not_done(request, row, str(refusal), status=409)
    check = found.data["row"]["check"] if found.kind == EntryKind.FINDING else ""
    anchor = f"entry-{found.pk}"
    return saved(request, row, f"{done}: {words}", side=found.side, focus=anchor, garment=check)


@require_POST
def sign(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_fitting(request, pk)
    try:
        with transaction.atomic():
            sign_fitting(row, by=signed_in(request), at=timezone.now())
    except Refused as refusal:
        status = 409 if isinstance(refusal, Frozen | RecordChanged) else 422
        return not_done(request, get_fitting(request, pk), str(refusal), status=status)
    messages.success(request, "Signed. From now on the fitting is only added to.")
    return redirect(f"{row.get_absolute_url()}#closing")


@require_POST
def fitting_ticket(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_fitting(request, pk)
    try:
        with transaction.atomic():
            ticket = issue(
                row,
                by=signed_in(request),
                at=timezone.now(),
                reason_despite_checks=request.POST.get("despite", ""),
            )
    except Refused as refusal:
        return not_done(request, get_fitting(request, pk), str(refusal))
    made = f", and {ticket.pattern_after}" if ticket.pattern_after else ""
    messages.success(request, f"Issued: ticket {ticket}{made}.")
    return redirect(f"{row.get_absolute_url()}#closing")


def saved(
    request: HttpRequest,
    row: Fitting,
    said: str,
    *,
    side: str = "",
    focus: str = "",
    check: str = "",
    garment: str = "",
) -> HttpResponse:
    """What was kept is told, and the part that it changed is shown anew.

    A check (`check`) changes what is proposed on both sides, and no reading that is being entered
    there; what is seen of the garment stands under its check (`garment`).
    """
    told = f"Saved {timezone.localtime():%H:%M}. {said}"
    if not asks_for_a_part(request):
        messages.success(request, told)
        here = f"#part-{garment or check}" if garment or check else f"#side-{side}" if side else ""
        return redirect(f"{row.get_absolute_url()}{here}")
    context = room(row, unit_of(request)) | {"said": told, "focus": focus, "part": True}
    if check:
        # What comes later keeps its keys: they must not move under the finger.
        number = next(step.number for step in context["steps"] if step.id == check)
        context |= {"oob": True, "checked": check, "checked_number": number}
        return render(request, "fitting.html#checked", context)
    if garment:
        return _seen(request, context, garment)
    return _part(request, context, side)


def not_saved(
    request: HttpRequest, row: Fitting, form: Bound, refusal: str = "", *, status: int = 422
) -> HttpResponse:
    """The same part with the sentence beside what is wrong, and all that was entered kept."""
    if not asks_for_a_part(request):
        return page(request, row, bound=form, refusal=refusal, status=status)
    if form is not None:
        focus_on_fault(form)
    context = room(row, unit_of(request), bound=form, refusal=refusal)
    context |= {"said": "Not saved yet: look at what is marked.", "part": True}
    proposal = getattr(form, "proposal", None) or {}
    if "check" in proposal:
        return _seen(request, context, proposal["check"], status=status)
    return _part(request, context, form.side if form else "", status=status)


def not_done(
    request: HttpRequest, row: Fitting, refusal: str, *, status: int = 422
) -> HttpResponse:
    if not asks_for_a_part(request):
        return page(request, row, refusal=refusal, status=status)
    context = room(row, unit_of(request), refusal=refusal) | {"said": refusal, "part": True}
    return _part(request, context, "", status=status)


def _seen(
    request: HttpRequest, context: dict[str, Any], check: str, *, status: int = 200
) -> HttpResponse:
    """What is seen of the garment at one check, and all that hangs on it."""
    context |= {
        "oob": True,
        "seen_at": check,
        "step": next(s for s in context["steps"] if s.id == check),
    }
    return render(request, "fitting.html#seen_answer", context, status=status)


def _part(
    request: HttpRequest, context: dict[str, Any], side: str, *, status: int = 200
) -> HttpResponse:
    """One side with what closes the fitting; without a side, all below the heading."""
    if not side:
        answer = render(request, "fitting.html#room", context, status=status)
        answer["HX-Retarget"], answer["HX-Reswap"] = "#room", "outerHTML settle:0ms"
        return answer
    context["panel"] = next(panel for panel in context["panels"] if panel.side == side)
    return render(request, "fitting.html#answer", context, status=status)
