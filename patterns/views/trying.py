"""Trying a change of one sleeve before it is cut, and taking it as a new version."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django_htmx.http import replace_url

from patterns.drawing.figure import three_views
from patterns.drawing.plan import elbow_plan
from patterns.drawing.sleeve import sleeve_plate
from patterns.forms.trying import TryForm
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.rules.document import BadDocument
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.trial import Trial
from patterns.versions import RetiredPattern, check_can_follow, next_version

VIEWS_SCALE: Final = 1 / 9
PLAN_SCALE: Final = 1 / 4.5
PIECES_SCALE: Final = 1 / 6
HANG: Final = 6  # rows that say how the sleeve hangs, shown beside the views
LONGEST_NOTE: Final = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What came of a try: the trial, or the sentence why there is none."""

    changes: tuple[Change, ...] = ()
    trial: Trial | None = None
    refusal: str = ""


def pattern_try(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    rows = PatternVersion.objects.select_related("pattern")
    version = get_object_or_404(rows, pattern=pk, number=number)
    if request.method == "POST":
        return _take(request, version)
    user: Any = request.user
    form = TryForm(request.GET.dict(), unit=user.units)
    part = request.headers.get("HX-Request") == "true"
    if form.is_valid() and "key" in request.GET and not part:
        form.pressed(request.GET["key"])
        return redirect(f"{request.path}?{form.query}")
    tried = _tried(version, form)
    context = _context(version, form, tried, part=part)
    status = 200 if form.is_valid() else 422
    if not part:
        return render(request, "pattern_try.html", context, status=status)
    answer = render(request, "pattern_try.html#tried", context, status=status)
    return replace_url(answer, f"{request.path}?{form.query}") if form.is_valid() else answer


def _tried(version: PatternVersion, form: TryForm) -> Tried:
    if not form.is_valid():
        return Tried(refusal="An amount cannot be read: " + "; ".join(_faults(form)))
    pattern = SidePattern.read(version.sides[form.cleaned_data["side"]])
    try:
        changes = form.wanted.changes(pattern.armhole.girth_mm)
        return Tried(changes=changes, trial=Trial.of(pattern, *changes))
    except (GeometryRefused, BadDocument) as refused:
        return Tried(refusal=str(refused))


def _faults(form: TryForm) -> list[str]:
    return [
        f"{form[name].label}: {' '.join(map(str, faults))}" for name, faults in form.errors.items()
    ]


def _why_not_taken(version: PatternVersion, tried: Tried) -> str:
    """The sentence that a button which cannot be pressed shows; "" where it can."""
    try:
        check_can_follow(version.pattern)
    except RetiredPattern as refused:
        return str(refused)
    if tried.refusal:
        return "What was tried cannot be cut, so it cannot be taken."
    return "" if tried.changes else "Nothing is moved yet."


def _context(version: PatternVersion, form: TryForm, tried: Tried, **more: Any) -> dict[str, Any]:
    context = {
        "version": version,
        "form": form,
        "refusal": tried.refusal,
        "why_not": _why_not_taken(version, tried),
    }
    if tried.trial is not None:
        side, before, after = form.cleaned_data["side"], tried.trial.before, tried.trial.after
        was = before.hung if tried.changes else None
        rows = tried.trial.rows()
        context |= {
            "side": side,
            "views": three_views(was, after.hung, side=side, scale=VIEWS_SCALE),
            "plan": elbow_plan(was, after.hung, side=side, scale=PLAN_SCALE),
            "pieces": sleeve_plate(
                before.flat, after.flat, side=side, scale=PIECES_SCALE, bare=True
            ),
            "hang": rows[:HANG],
            "rows": rows[HANG:],
        }
    return context | more


def _take(request: HttpRequest, version: PatternVersion) -> HttpResponse:
    """What is tried becomes the next version, with a note that says why."""
    by: Any = request.user
    form = TryForm(request.POST.dict(), unit=by.units)
    tried, note = _tried(version, form), request.POST.get("note", "").strip()
    fault = _why_not_taken(version, tried)
    if not fault and not note:
        fault = "Say in a few words what it is for: whoever opens the pattern later will ask."
    if not fault and len(note) > LONGEST_NOTE:
        fault = f"The note is {len(note)} signs long; {LONGEST_NOTE} is the most."
    if fault:
        context = _context(version, form, tried, note=note, fault=fault)
        return render(request, "pattern_try.html", context, status=422)
    side = form.cleaned_data["side"]
    taken = next_version(version, {side: tried.changes}, note=note, by=by, at=timezone.now())
    messages.success(request, f"Taken: {taken}, wearer's {side} changed. The one before is kept.")
    return redirect(taken)
