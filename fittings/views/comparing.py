"""Two photographs of one customer, beside each other or one over the other."""

from __future__ import annotations

import uuid
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from fittings.models import Photograph
from fittings.photographs.comparing import Looked, laid_over, look, others, rows
from fittings.refusals import Refused
from fittings.views.reach import get_photograph
from patterns.geometry.alignment import Similarity

PER_PAGE = 12
HALF = 50


@require_safe
def photograph_compare(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """Choose what to compare with, or with `with` compare."""
    row = get_photograph(request, pk)
    other = _other(row, request.GET.get("with"))
    if other is None:
        page = Paginator(others(row), PER_PAGE).get_page(request.GET.get("page"))
        context: dict[str, Any] = {"photograph": row, "page": page}
        return render(request, "photograph_compare.html", context)
    # The earlier one lies below, whichever was opened first.
    earlier, later = sorted((row, other), key=lambda one: (one.taken_at, str(one.pk)))
    below, above = look(earlier), look(later)
    context = {
        "photograph": row,
        "other": other,
        "pair": [("Earlier", earlier), ("Later", later)],
        "earlier": earlier,
        "later": later,
        "over": request.GET.get("how") == "over",
        "angles": rows(below, above),
        "shown": _share(request.GET.get("shown")),
    } | _over(below, above)
    return render(request, "photograph_compare.html", context)


def _other(row: Photograph, asked: str | None) -> Photograph | None:
    if not asked:
        return None
    try:
        found = others(row).filter(pk=uuid.UUID(asked)).first()
    except ValueError:
        found = None
    if found is None:
        raise Http404("There is no such photograph of this customer.")
    return found


def _over(below: Looked, above: Looked) -> dict[str, Any]:
    try:
        laid = laid_over(below, above)
    except Refused as refusal:
        return {"refusal": str(refusal)}
    longer = max(below.photograph.width, below.photograph.height)
    return {"matrix": _matrix(laid), "left_over": f"{100 * laid.left_over / longer:.1f}"}


def _matrix(laid: Similarity) -> str:
    """As SVG has it: matrix(a b c d e f) takes x to a x + c y + e, y to b x + d y + f."""
    numbers = (laid.a, laid.b, -laid.b, laid.a, *laid.shift)
    return f"matrix({' '.join(f'{number:.6f}' for number in numbers)})"


def _share(asked: str | None) -> int:
    """How much of the later photograph is seen, in per cent."""
    return min(int(asked), 100) if asked and asked.isdecimal() and len(asked) < 4 else HALF
