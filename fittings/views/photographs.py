"""Photographs of a fitting: sent, shown, changed, and handed to the browser."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any, Final

from django.conf import settings
from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from fittings.forms.photographs import SentForm, ShowsForm
from fittings.models import Fitting, Photograph
from fittings.photographs import record
from fittings.photographs.attached import photographs_of
from fittings.photographs.handing import handed_over
from fittings.photographs.keeping import Size
from fittings.photographs.showing import shown_of
from fittings.photographs.taking import check_size
from fittings.refusals import Frozen, Refused
from fittings.views.fitting_room import get_fitting
from fittings.views.reach import asks_for_a_part, get_photograph
from fittings.views.sent import made_at, signed_in
from fittings.views.tickets import get_ticket

Act = Callable[[HttpRequest, Photograph], str]


def photograph_new(request: HttpRequest, pk: int) -> HttpResponse:
    """All photographs of a fitting, a page at a time; posted to, it takes in what is sent."""
    row = get_fitting(request, pk)
    if request.method != "POST":
        return _answer(request, row)
    form = SentForm(request.POST, request.FILES)
    if not form.is_valid():
        return _answer(request, row, refusals=_sentences(form))
    kept, refusals = 0, []
    try:
        for identity, file in form.photographs:
            try:
                _take(request, row, form, identity, file)
                kept += 1
            except Refused as refusal:
                refusals.append(f"{file.name}: {refusal}")
    except Refused as refusal:
        refusals.append(str(refusal))
    return _answer(request, row, refusals=refusals, said=_kept(kept))


def _take(
    request: HttpRequest,
    row: Fitting,
    form: SentForm,
    identity: uuid.UUID | None,
    file: UploadedFile[Any],
) -> None:
    record.check_can_photograph(row.order.customer)
    check_size(file.size or 0, settings.PHOTOGRAPH_MOST_BYTES)
    record.add_photograph(
        row,
        file.read(),
        shows=form.said,
        by=signed_in(request),
        taken_at=made_at(request),
        identity=identity,
    )


def _kept(count: int) -> str:
    if not count:
        return ""
    words = "One photograph" if count == 1 else f"{count} photographs"
    return f"Saved {timezone.localtime():%H:%M}. {words} kept."


def _sentences(form: ShowsForm) -> list[str]:
    return [str(sentence) for faults in form.errors.values() for sentence in faults]


def _answer(
    request: HttpRequest,
    row: Fitting,
    *,
    refusals: list[str] | None = None,
    said: str = "",
    focus: str = "",
    status: int = 422,
) -> HttpResponse:
    """The part with the photographs, or the page of all of them; `status` is for refusals."""
    part = asks_for_a_part(request)
    if request.method == "POST" and not refusals and not part:
        messages.success(request, said)
        return redirect(f"{row.get_absolute_url()}#photographs")
    context = {
        "fitting": row,
        "shown": shown_of(row, request.GET.get("page", 1)),
        "refusals": refusals,
        "said": said or (refusals or [""])[0],
        "focus": focus,
        "part": part,
    }
    template = "fitting_photographs.html#kept" if part else "photographs.html"
    return render(request, template, context, status=status if refusals else 200)


@require_POST
def photograph_change(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """Take back, put back, turn, say what it shows, send to the workroom or not."""
    row = get_photograph(request, pk)
    act = ACTS.get(request.POST.get("act", ""))
    if act is None:
        raise Http404("There is no such thing to do.")
    fitting = get_fitting(request, row.fitting_id)
    try:
        said = act(request, row)
    except Refused as refusal:
        status = 409 if isinstance(refusal, Frozen) else 422
        return _answer(request, fitting, refusals=[str(refusal)], status=status)
    return _answer(
        request,
        fitting,
        said=f"Saved {timezone.localtime():%H:%M}. {said}: {row}.",
        focus=f"photograph-{row.pk}",
    )


def _take_back(request: HttpRequest, row: Photograph) -> str:
    record.take_back(row, by=signed_in(request), at=timezone.now())
    return "Taken back"


def _put_back(request: HttpRequest, row: Photograph) -> str:
    record.put_back(row)
    return "Put back"


def _turn(request: HttpRequest, row: Photograph) -> str:
    # Sent again because its answer was lost, it is turned already: what stood on the screen tells.
    if request.POST.get("over", row.sha256) == row.sha256:
        record.turn(row)
    return "Turned by a quarter, its top to the right"


def _to_workroom(request: HttpRequest, row: Photograph) -> str:
    record.send_to_workroom(row, wanted=True)
    return "Goes onto the ticket"


def _not_to_workroom(request: HttpRequest, row: Photograph) -> str:
    record.send_to_workroom(row, wanted=False)
    return "Does not go onto the ticket"


def _describe(request: HttpRequest, row: Photograph) -> str:
    form = ShowsForm(request.POST)
    if not form.is_valid():
        raise Refused(" ".join(_sentences(form)))
    record.describe(row, shows=form.said, note=form.cleaned_data["note"])
    return "It now shows"


SIZES: Final[dict[str, Size]] = {"large": "master", "small": "thumb"}

ACTS: Final[dict[str, Act]] = {
    "take-back": _take_back,
    "put-back": _put_back,
    "turn": _turn,
    "to-workroom": _to_workroom,
    "not-to-workroom": _not_to_workroom,
    "describe": _describe,
}


@require_safe
def photograph(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    row = get_photograph(request, pk)
    return handed_over(row.sha256, _filename(row))


@require_safe
def photograph_thumb(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    row = get_photograph(request, pk)
    return handed_over(row.sha256, _filename(row), "thumb")


@require_safe
def ticket_photograph(
    request: HttpRequest, number: str, revision: int, position: int, size: str
) -> HttpResponse:
    """A photograph as it was issued with a ticket: what the workroom sees of photographs."""
    row = get_ticket(request, number, revision)
    shown = photographs_of(row)
    if not 1 <= position <= len(shown) or size not in SIZES:
        raise Http404("There is no such photograph on this ticket.")
    filename = f"{row.number}-{row.revision}-photograph-{position}.jpg"
    return handed_over(shown[position - 1]["sha256"], filename, SIZES[size])


def _filename(row: Photograph) -> str:
    """Says which photograph it is, and nothing of the customer."""
    return f"{row.fitting.order.number}-{row.fitting.held_on:%Y-%m-%d}-{row.view}.jpg"
