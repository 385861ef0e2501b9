"""Printing and handing over a pattern version at true size."""

from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.safestring import mark_safe

from patterns.forms.handover import HandoverForm
from patterns.models import PatternVersion
from patterns.print_order import Kind

TYPES: Final[dict[Kind, str]] = {
    "pdf": "application/pdf",
    "plate": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
}


def get_version(pk: int, number: int) -> PatternVersion:
    """A version with its pattern and the version it came from."""
    rows = PatternVersion.objects.select_related("pattern", "parent")
    return get_object_or_404(rows, pattern=pk, number=number)


def pattern_print(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """The form with the pages it makes; htmx asks for that part alone."""
    version = get_version(pk, number)
    return _form_page(request, version, HandoverForm(version, request.GET.dict()))


def pattern_paper(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """True size as PDF, or the reduced plate (`as=plate`)."""
    return _file(request, pk, number, "plate" if request.GET.get("as") == "plate" else "pdf")


def pattern_drawing(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """True size as SVG, or as DXF (`as=dxf`)."""
    return _file(request, pk, number, "dxf" if request.GET.get("as") == "dxf" else "svg")


def _file(request: HttpRequest, pk: int, number: int, kind: Kind) -> HttpResponse:
    version = get_version(pk, number)
    form = HandoverForm(version, request.GET.dict())
    if not form.is_valid():
        return _form_page(request, version, form)
    answer = HttpResponse(form.order.made(kind), content_type=TYPES[kind])
    where = "inline" if TYPES[kind] == "application/pdf" else "attachment"
    answer["Content-Disposition"] = f'{where}; filename="{form.order.filename(kind)}"'
    return answer


def _form_page(request: HttpRequest, version: PatternVersion, form: HandoverForm) -> HttpResponse:
    valid = form.is_valid()
    context: dict[str, Any] = {"version": version, "form": form, "valid": valid}
    if valid and not form.order.roll_mm:
        written = form.order.map_svg()
        context["map"] = mark_safe(written)  # by an XML library # noqa: S308 # nosec B703
    part = "#print_sheet" if request.headers.get("HX-Request") == "true" else ""
    status = 200 if valid else 422
    return render(request, f"pattern_print.html{part}", context, status=status)
