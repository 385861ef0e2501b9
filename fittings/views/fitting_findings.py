"""Logging what is seen of the garment, undoing the last step, and the history of a fitting."""

from __future__ import annotations

import uuid
from typing import Any, Final

from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from fittings.fitting_room.acts import once
from fittings.fitting_room.catalogue import find_offered
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.history import happened
from fittings.fitting_room.said import entry_said
from fittings.fitting_room.undo import undo
from fittings.models import Entry, EntryKind, Fitting, Side
from fittings.refusals import Frozen, Refused
from fittings.views.fitting_room import get_fitting, not_done, saved
from fittings.views.reach import PER_PAGE, unit_of
from fittings.views.sent import made_at, sent_of, signed_in
from patterns.rules.garment_finding import GarmentFinding

BOTH: Final = "both"
MOST_MM: Final = 300.0


@require_POST
def finding(request: HttpRequest, pk: int) -> HttpResponse:
    """Log one finding of the garment, or answer what was asked of one: the newest word counts."""
    fitting = get_fitting(request, pk)
    try:
        row = find_offered(fitting.order.garment, request.POST.get("finding", ""))
        data = {"finding": row.id, "row": row.written(), **_answered(request, row)}
        kept = _keep(request, fitting, row, data)
    except Refused as refusal:
        return not_done(request, fitting, str(refusal))
    said = entry_said(kept[-1], unit_of(request))
    if len(kept) > 1:
        said = f"{row.name}, both sides"
    return saved(request, fitting, said, garment=row.check, focus=f"entry-{kept[-1].pk}")


def _answered(request: HttpRequest, row: GarmentFinding) -> dict[str, Any]:
    answer, amount = request.POST.get("answer", ""), request.POST.get("amount_mm", "")
    found: dict[str, Any] = {}
    if answer:
        if row.remedy(answer) is None:
            raise Refused("This answer is not known: open the page anew.")
        found["answer"] = answer
    if amount:
        try:
            mm = float(amount)
        except ValueError:
            raise Refused(f"{amount!r} is not an amount in mm.") from None
        if not 0 < mm <= MOST_MM:
            raise Refused(f"Say an amount above nothing and up to {MOST_MM:g} mm.")
        found["amount_mm"] = mm
    return found


def _sides(request: HttpRequest, row: GarmentFinding) -> tuple[str, ...]:
    """Both sides at once only where the fitter says so."""
    said = request.POST.get("side", "")
    if not row.sided:
        return (Side.BODY,)
    if said == BOTH:
        return (Side.LEFT, Side.RIGHT)
    if said not in {Side.LEFT, Side.RIGHT}:
        raise Refused("Say whether it is the wearer's left, the wearer's right, or both sides.")
    return (said,)


def _keep(
    request: HttpRequest, fitting: Fitting, row: GarmentFinding, data: dict[str, Any]
) -> list[Entry]:
    """An entry for each side; the identity of a tap and the side name it, so that one sent twice
    is kept once."""
    at, by = made_at(request), signed_in(request)
    try:
        tap = uuid.UUID(request.POST.get("identity", ""))
    except ValueError:
        tap = uuid.uuid4()
    with transaction.atomic():
        return [
            add_entry(
                fitting,
                side=side,
                kind=EntryKind.FINDING,
                data=data,
                by=by,
                made_at=at,
                identity=uuid.uuid5(tap, side),
            )
            for side in _sides(request, row)
        ]


MOVED_ON: Final = "This step is not known here: look at what the last step is now."


@require_POST
def fitting_undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take back the step that was shown; or what one tap made (`tap`), if anything came of it."""
    fitting, sent, unit = get_fitting(request, pk), sent_of(request), unit_of(request)
    place: dict[str, str] = {}

    def take_back() -> str:
        step = undo(fitting, _tap_of(request), by=sent.by, at=sent.made_at)
        if step is None and "tap" not in request.POST:
            raise Frozen(MOVED_ON)
        place.update(step.shown_at if step else {})
        return f"Undone: {step.said(unit)}" if step else "Undone: nothing of it was kept"

    try:
        said = once(fitting.order.customer, "undo", sent, take_back)
    except Refused as refusal:
        status = 409 if isinstance(refusal, Frozen) else 422
        return not_done(request, fitting, str(refusal), status=status)
    return _in_place(saved(request, fitting, said, **place), place)


def _tap_of(request: HttpRequest) -> uuid.UUID:
    try:
        return uuid.UUID(request.POST.get("tap") or request.POST.get("step", ""))
    except ValueError:
        raise Frozen(MOVED_ON) from None


def _in_place(answer: HttpResponse, place: dict[str, str]) -> HttpResponse:
    """What is half entered elsewhere on the page stays: only the one place is put in anew."""
    for name, target in (
        ("check", "#check-{}-form"),
        ("garment", "#seen-{}"),
        ("side", "#side-{}"),
    ):
        if place.get(name):
            answer["HX-Retarget"] = target.format(place[name])
            answer["HX-Reswap"] = "outerHTML settle:0ms"
    return answer


def fitting_history(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything that happened at a fitting, newest first: who, when, what."""
    fitting = get_fitting(request, pk)
    rows = Paginator(happened(fitting, unit_of(request)), PER_PAGE)
    context = {"fitting": fitting, "page": rows.get_page(request.GET.get("page"))}
    return render(request, "fitting_history.html", context)
