"""Two versions of a pattern laid on each other: on the screen, and at true size on paper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from patterns.forms.overlay import OverlayForm
from patterns.geometry.refusals import GeometryRefused
from patterns.models import PatternVersion
from patterns.overlays import overlaid, overlay_pdf


def pattern_overlay(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """The form with both sides laid so; htmx asks for what the form shows alone."""
    version = _version(pk, number)
    form = OverlayForm(version, request.GET.dict())
    return _page(request, version, form)


def pattern_overlay_paper(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    version = _version(pk, number)
    form = OverlayForm(version, request.GET.dict())
    if not form.is_valid():
        return _page(request, version, form)
    old = form.cleaned_data["over"]
    try:
        made = overlay_pdf(old, version, form.on)
    except GeometryRefused as refused:
        form.add_error(None, str(refused))
        return _page(request, version, form)
    answer = HttpResponse(made, content_type="application/pdf")
    name = f"{version.pattern.number}-{version.number}-over-{old.pattern.number}-{old.number}.pdf"
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer


def _version(pk: int, number: int) -> PatternVersion:
    rows = PatternVersion.objects.select_related("pattern")
    return get_object_or_404(rows, pattern=pk, number=number)


def _page(request: HttpRequest, version: PatternVersion, form: OverlayForm) -> HttpResponse:
    context: dict[str, Any] = {"version": version, "form": form}
    sound = form.is_valid() or not form.anything
    if form.is_valid():
        old = form.cleaned_data["over"]
        context |= {"old": old, "laid": overlaid(old, version, form.on)}
    part = "#overlaid" if request.headers.get("HX-Request") == "true" else ""
    status = 200 if sound else 422
    return render(request, f"pattern_overlay.html{part}", context, status=status)
