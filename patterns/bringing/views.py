"""Bringing a pattern in: a file is read, looked at, and saved as a new version."""

from __future__ import annotations

from typing import Any, Final

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from patterns.bringing.brought import Brought, NotBroughtIn
from patterns.bringing.forms import FileForm, SaveForm
from patterns.bringing.offer import SIDES, Offer, read_file
from patterns.drawing.armhole import armhole_plate
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.refusals import GeometryRefused
from patterns.models import Pattern, PatternVersion
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece
from patterns.shown import ARMHOLE_SCALE, SLEEVE_SCALE, numbers
from patterns.versions import RetiredPattern, follow

_CHANGED: Final = (
    "The pattern has a newer version since the drawing was read, so nothing was saved. Bring the "
    "drawing in once more beside the newer version."
)


def get_newest(pk: int) -> PatternVersion:
    """The newest version of a pattern that is in use, with its pattern."""
    pattern = get_object_or_404(Pattern.objects.in_use(), pk=pk)
    newest = pattern.versions.select_related("pattern").first()
    if newest is None:
        raise Http404("This pattern has no version.")
    return newest


def pattern_bring_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a file; show what was understood of it; save it, or leave it."""
    newest = get_newest(pk)
    if request.method != "POST":
        return _page(request, newest, _kept(request, pk))
    if "leave" in request.POST:
        request.session.pop(_key(pk), None)
        return redirect("pattern-bring-in", pk=pk)
    if "save" in request.POST:
        return _save(request, newest)
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, newest, _kept(request, pk), form=form, status=422)
    name, data = form.cleaned_data["file"]
    try:
        keep(request, newest, read_file(data), name=name)
    except NotBroughtIn as refused:
        form.add_error("file", str(refused))
        return _page(request, newest, _kept(request, pk), form=form, status=422)
    return redirect("pattern-bring-in", pk=pk)


def keep(request: HttpRequest, newest: PatternVersion, brought: Brought, *, name: str) -> None:
    """Keep in the session what was understood, to be looked at. Refuses NotBroughtIn."""
    offer = Offer.of(brought, newest.sides, name=name[:100], number=newest.number)
    request.session[_key(newest.pattern_id)] = offer.written()


def _key(pk: int) -> str:
    return f"brought-in-{pk}"


def _kept(request: HttpRequest, pk: int) -> Offer | None:
    kept = request.session.get(_key(pk))
    return Offer.read(kept) if kept else None


def _page(
    request: HttpRequest,
    newest: PatternVersion,
    offer: Offer | None,
    *,
    form: FileForm | None = None,
    save: SaveForm | None = None,
    status: int = 200,
) -> HttpResponse:
    context: dict[str, Any] = {
        "pattern": newest.pattern,
        "newest": newest,
        "form": form or FileForm(),
        "offer": offer,
    }
    if offer:
        usual = {side: offer.usual(side) for side in SIDES}
        sides = offer.sides(usual, newest.sides)
        context |= {
            "save": save or SaveForm(offer=offer),
            "remarks": [*offer.remarks()],
            "plates": {side: _plates(sides[side], side) for side in SIDES},
            "rows": numbers(PatternVersion(sides=sides)),
        }
    return render(request, "pattern_bring_in.html", context, status=status)


def _plates(document: dict[str, Any], side: str) -> list[str]:
    pattern = SidePattern.read(document)
    armhole, pieces = pattern.armhole, two_piece(pattern)
    sleeve = pattern.sleeve
    return [
        armhole_plate(armhole, sleeve, sleeve, side=side, scale=ARMHOLE_SCALE),
        sleeve_plate(pieces, pieces, side=side, scale=SLEEVE_SCALE),
    ]


def _save(request: HttpRequest, newest: PatternVersion) -> HttpResponse:
    offer = _kept(request, newest.pattern_id)
    if offer is None:
        messages.error(request, "Nothing is waiting to be saved; choose the file once more.")
        return redirect("pattern-bring-in", pk=newest.pattern_id)
    form = SaveForm(request.POST, offer=offer)
    if form.is_valid() and form.cleaned_data["offered"] != offer.number:
        form.add_error(None, "Another drawing was read since; look at it first, then save.")
    if form.is_valid() and newest.number != offer.number:
        form.add_error(None, _CHANGED)
    if not form.is_valid():
        return _page(request, newest, offer, save=form, status=422)
    try:
        version = _new_version(request, newest, offer, form)
    except (GeometryRefused, RetiredPattern) as refused:
        form.add_error(None, str(refused))
        return _page(request, newest, offer, save=form, status=422)
    del request.session[_key(newest.pattern_id)]
    messages.success(request, f"Brought in: {version}.")
    return redirect(version)


def _new_version(
    request: HttpRequest, newest: PatternVersion, offer: Offer, form: SaveForm
) -> PatternVersion:
    """A version made of what was chosen. Refuses GeometryRefused what cannot be drawn after all,
    and RetiredPattern."""
    sides = offer.sides(form.chosen, newest.sides)
    for document in sides.values():
        two_piece(SidePattern.read(document))
    by: Any = request.user
    return follow(newest, sides, [], note=form.cleaned_data["note"], by=by, at=timezone.now())
