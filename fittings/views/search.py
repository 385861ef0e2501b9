"""One box for all of the record."""

from typing import Any, Final

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from fittings.models import FindableKind
from fittings.search.groups import groups, looked_up, numbered, shown
from fittings.search.looking import best_first
from fittings.views.reach import PER_PAGE

LONGEST: Final = 200


def search(request: HttpRequest) -> HttpResponse:
    typed, kind = request.GET.get("q", "")[:LONGEST].strip(), request.GET.get("kind", "")
    workroom = getattr(request.user, "role", "") == "workroom"
    there = numbered(typed, workroom=workroom)
    if there is not None and not kind:
        return redirect(there)
    rows, counts, wrong_letter = looked_up(typed, workroom=workroom)
    context: dict[str, Any] = {"typed": typed, "wrong_letter": wrong_letter, "kind": kind}
    if kind in FindableKind:
        of_kind = FindableKind(kind)
        page = Paginator(best_first(rows.filter(kind__among=kind), typed), PER_PAGE).get_page(
            request.GET.get("page")
        )
        context |= {"page": page, "label": of_kind.label, "rows": shown(of_kind, page)}
    else:
        context["groups"] = groups(rows, counts, typed)
    return render(request, "search.html", context)
