"""A photograph of a paper pattern: taken in, points set on it, flattened, handed on to be saved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import mark_safe

from patterns.bringing.brought import Brought, NotBroughtIn
from patterns.bringing.photo_forms import PictureForm, SizesForm
from patterns.bringing.photographed import CHECK, LINES, MARKS, Points, brought
from patterns.bringing.picture import cleaned, forget, load, store
from patterns.bringing.views import get_newest, keep
from patterns.drawing.sheet import NEW, Sheet
from patterns.geometry.flatten import Flattening
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion

_SCALE: Final = 1 / 6
_TOLD_MM: Final = 2.0


@dataclass(slots=True, kw_only=True)
class Taken:
    """The photograph under work, as the session keeps it."""

    picture: str
    name: str
    width: int
    height: int
    points: str = "{}"
    sizes: dict[str, str] | None = None

    @classmethod
    def of(cls, request: HttpRequest, pk: int) -> Taken | None:
        kept = request.session.get(_key(pk))
        return cls(**kept) if kept else None

    def keep(self, request: HttpRequest, pk: int) -> None:
        request.session[_key(pk)] = {
            "picture": self.picture,
            "name": self.name,
            "width": self.width,
            "height": self.height,
            "points": self.points,
            "sizes": self.sizes,
        }


def _key(pk: int) -> str:
    return f"photographed-{pk}"


def pattern_photo(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a photograph; set points on it; show what comes of them; hand it on to be saved."""
    newest = get_newest(pk)
    taken = Taken.of(request, pk)
    if request.method != "POST":
        return _page(request, newest, taken)
    if "leave" in request.POST:
        if taken:
            forget(pk, taken.picture)
            del request.session[_key(pk)]
        return redirect("pattern-photo", pk=pk)
    if taken and "points" in request.POST:
        return _worked(request, newest, taken)
    return _taken_in(request, newest, taken)


def photo_picture(request: HttpRequest, pk: int, name: str) -> HttpResponse:
    """The picture itself, to whoever may bring patterns in; nothing in it can run."""
    get_newest(pk)
    data = load(pk, name)
    if data is None:
        raise Http404("There is no such picture.")
    answer = HttpResponse(data, content_type="image/jpeg")
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer


def _taken_in(request: HttpRequest, newest: PatternVersion, before: Taken | None) -> HttpResponse:
    pk = newest.pattern_id
    form = PictureForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, newest, before, picture_form=form, status=422)
    name, data = form.cleaned_data["picture"]
    try:
        picture = cleaned(data)
    except NotBroughtIn as refused:
        form.add_error("picture", str(refused))
        return _page(request, newest, before, picture_form=form, status=422)
    if before:
        forget(pk, before.picture)
    kept = store(pk, picture)
    Taken(picture=kept, name=name[:100], width=picture.width, height=picture.height).keep(
        request, pk
    )
    return redirect("pattern-photo", pk=pk)


def _worked(request: HttpRequest, newest: PatternVersion, taken: Taken) -> HttpResponse:
    """The points as they were sent: kept, flattened, and shown or handed on."""
    form = SizesForm(request.POST)
    try:
        points = Points.read(request.POST["points"], width=taken.width, height=taken.height)
    except NotBroughtIn as refused:
        return _page(request, newest, taken, sizes=form, refusal=str(refused), status=422)
    taken.points = points.written()
    taken.sizes = {name: request.POST.get(name, "") for name in form.fields}
    taken.keep(request, newest.pattern_id)
    if not form.is_valid():
        return _page(request, newest, taken, sizes=form, status=422)
    try:
        flat = Flattening.by(points.px(MARKS), form.distances)
        lines = brought(points, flat)
        if "use" in request.POST:
            keep(request, newest, lines, name=f"the photograph {taken.name}")
            return redirect("pattern-bring-in", pk=newest.pattern_id)
        seen = _seen(lines, flat, points, form.cleaned_data["check"])
    except (NotBroughtIn, GeometryRefused) as refused:
        return _page(request, newest, taken, sizes=form, refusal=str(refused), status=422)
    return _page(request, newest, taken, sizes=form, **seen)


def _seen(
    lines: Brought, flat: Flattening, points: Points, check_mm: float | None
) -> dict[str, Any]:
    """How well the picture was flattened, in sentences, and the flat drawing."""
    told = [*_residuals(flat, points, check_mm), *lines.remarks]
    sheet = Sheet("Flat drawing", "The lines as they lie flat, without perspective.")
    for line in lines.lines:
        if float(np.ptp(line.spans_mm)) > 0.0:
            sheet.curve(line.spans_mm * _SCALE, NEW, line.part)
    written = sheet.svg()
    drawing = mark_safe(written)  # by an XML library # noqa: S308 # nosec B703
    return {"told": told, "drawing": drawing}


def _residuals(flat: Flattening, points: Points, check_mm: float | None) -> list[str]:
    told = []
    if flat.placed.checked:
        off = flat.placed.misfit_mm
        told.append(
            f"The distances between the marks agree within {off:.1f} mm"
            + ("; measure them again." if off > _TOLD_MM else ".")
        )
    ends = points.px(CHECK)
    if check_mm is not None and len(ends) == 2:
        read = flat.distance_mm(*ends)
        off = read - check_mm
        told.append(
            f"The check distance reads {read:.1f} mm for {check_mm:g} mm: {abs(off):.1f} mm too "
            f"{'long' if off > 0 else 'short'}" + ("." if abs(off) <= _TOLD_MM else "; look again.")
        )
    if not told:
        told.append(
            "Nothing checks the picture yet: measure both diagonals of the marks, or set a check "
            "distance."
        )
    return told


def _page(
    request: HttpRequest,
    newest: PatternVersion,
    taken: Taken | None,
    *,
    picture_form: PictureForm | None = None,
    sizes: SizesForm | None = None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    context: dict[str, Any] = {
        "pattern": newest.pattern,
        "newest": newest,
        "taken": taken,
        "picture_form": picture_form or PictureForm(),
        "sizes": sizes or SizesForm(initial=(taken.sizes or {}) if taken else {}),
        "lines": LINES,
    }
    return render(request, "pattern_photo.html", context | more, status=status)
