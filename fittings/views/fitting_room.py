"""The page of a fitting and every entry on it."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.http import require_POST

from fittings.changes import mark_of
from fittings.decisions import decide
from fittings.decisions import sign as sign_fitting
from fittings.entries import (
    SENT_OTHERWISE,
    add_entry,
    checks_of,
    remove_entry,
    restore_entry,
    settle_up_to,
)
from fittings.forms.amounts import focus_on_fault
from fittings.forms.by_hand import posted
from fittings.forms.fitting import DECISION_FORMS, FITTED_AT, DecisionForm, FittingForm
from fittings.forms.readings import ReadingForm
from fittings.models import Decision, EntryKind, Fitting, Question, Side, Stage
from fittings.proposals import SAME_MM, AnyProposed, one_side
from fittings.refusals import Frozen, RecordChanged, Refused
from fittings.said import entry_said
from fittings.ticketing import issue
from fittings.views.fitting_parts import Bound, room
from fittings.views.reach import asks_for_a_part, form_page, get_order, unit_of, who
from fittings.views.sent import identity_of, over_of, seen_of

if TYPE_CHECKING:
    from tailorshop.models import User

CHECK_STATES = frozenset({"settled", "open", "all-settled"})
CHANGED = "The readings changed since this was shown: look at what is proposed now."


def get_fitting(request: HttpRequest, pk: int) -> Fitting:
    """A fitting with all that its page names, unless the customer is erased."""
    rows = Fitting.objects.filter(order__customer__erased_on=None).select_related(
        "order__customer", "order__pattern_version__pattern", "pattern_version__pattern"
    )
    return get_object_or_404(rows.select_related("fitter", "signed_by"), pk=pk)


def signed_in(request: HttpRequest) -> User:
    if not request.user.is_authenticated:
        raise Http404("There is no such page for you.")
    return request.user


def fitting_new(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_order(request, pk)
    stage = order.stage if order.stage in FITTED_AT else Stage.BASTE
    row = Fitting(order=order, stage=stage, held_on=timezone.localdate(), fitter_id=who(request))
    form = FittingForm(request.POST or None, instance=row)
    if form.is_valid() and (open_now := _open_already(form.instance)):
        # Sent twice, or two people at one customer: one fitting, so that nothing is read apart.
        messages.success(request, f"Already open: {open_now}.")
        return redirect(open_now)
    return form_page(request, form, "fitting_new.html", said="Opened: {}.", order=order)


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
    context = room(row, unit_of(request), bound=bound, refusal=refusal)
    asked = Question.objects.of_order(row.order).open().with_paper()
    context |= {"facts": FittingForm(instance=row), "asked": asked, "mark": mark_of(row)} | more
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
        kept = _keep(request, row, side, EntryKind.READING, form.reading(), form)
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


def made_at(request: HttpRequest) -> dt.datetime:
    """By the device's clock, but never later than now by ours."""
    try:
        said = parse_datetime(request.POST.get("made_at", ""))
    except ValueError:
        said = None
    now = timezone.now()
    return min(said, now) if said is not None and said.tzinfo else now


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
    anchor = f"entry-{found.pk}"
    try:
        if "back" in request.POST:
            restore_entry(row, found, identity=identity_of(request))
            return saved(request, row, f"Put back: {words}", side=found.side, focus=anchor)
        by, at = signed_in(request), made_at(request)
        remove_entry(row, found, by=by, at=at, identity=identity_of(request))
    except Frozen as refusal:
        return not_done(request, row, str(refusal), status=409)
    return saved(request, row, f"Taken back: {words}", side=found.side, focus=anchor)


@require_POST
def decision(request: HttpRequest, pk: int) -> HttpResponse:
    row, unit, side = get_fitting(request, pk), unit_of(request), _side(request)
    identity = identity_of(request)
    if identity and (known := row.decisions.filter(pk=identity).first()):
        return _decided_before(request, row, known)
    proposed = one_side(row, side).find(request.POST.get("key", ""))
    kind = DECISION_FORMS.get(request.POST.get("verdict", ""))
    if kind is None:
        raise Refused("Accept, amend or refuse it.")
    proposal = proposed.document if proposed else None
    form = kind(request.POST, side=side, proposal=proposal, unit=unit)
    if not form.is_valid():
        return not_saved(request, row, form)
    try:
        said = _decide(request, row, side, proposed, form)
    except Refused as refusal:
        form.refuse(str(refusal))
        status = 409 if isinstance(refusal, Frozen) else 422
        return not_saved(request, row, form, str(refusal), status=status)
    focus = f"{side}-{form.cleaned_data['key'].replace(':', '-')}"
    return saved(request, row, said, side=side, focus=focus)


def _decided_before(request: HttpRequest, row: Fitting, known: Decision) -> HttpResponse:
    """Sent again because the answer was lost: answered as then, whatever changed since."""
    sent = tuple(request.POST.get(name) for name in ("side", "key", "verdict"))
    if sent != (known.side, known.key, known.verdict):
        raise Refused(SENT_OTHERWISE)
    said = f"{known.get_verdict_display()}: {(known.outcome or known.proposal)['title']}"
    return saved(request, row, said, side=known.side)


def _decide(
    request: HttpRequest, row: Fitting, side: str, proposed: AnyProposed | None, form: DecisionForm
) -> str:
    """Keep the decision on what was on the screen; say it in words."""
    asked = form.cleaned_data
    seen = proposed is not None and abs(proposed.correction.shift_mm - asked["seen_mm"]) <= SAME_MM
    if proposed is not None and not seen:
        raise Refused(CHANGED)
    kept = decide(
        row,
        side=side,
        key=asked["key"],
        verdict=form.VERDICT,
        by=signed_in(request),
        at=made_at(request),
        amount_mm=form.amount_mm,
        reason=form.reason,
        identity=asked["identity"],
        over=over_of(request),
    )
    return f"{kept.get_verdict_display()}: {(kept.outcome or kept.proposal)['title']}"


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
) -> HttpResponse:
    """What was kept is told, and the part that it changed is shown anew.

    A check changes what is proposed on both sides, and no reading that is being entered there.
    """
    told = f"Saved {timezone.localtime():%H:%M}. {said}"
    if not asks_for_a_part(request):
        messages.success(request, told)
        return redirect(f"{row.get_absolute_url()}{f'#side-{side}' if side else ''}")
    context = room(row, unit_of(request)) | {"said": told, "focus": focus, "part": True}
    if check:
        context |= {"oob": True, "checked": check}
        return render(request, "fitting.html#checked", context)
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
    return _part(request, context, form.side if form else "", status=status)


def not_done(
    request: HttpRequest, row: Fitting, refusal: str, *, status: int = 422
) -> HttpResponse:
    if not asks_for_a_part(request):
        return page(request, row, refusal=refusal, status=status)
    context = room(row, unit_of(request), refusal=refusal) | {"said": refusal, "part": True}
    return _part(request, context, "", status=status)


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
