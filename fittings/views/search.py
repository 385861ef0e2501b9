"""One box for all of the record."""

from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from fittings.models import FindableKind
from fittings.search.groups import Group, groups, numbered, rows_of
from fittings.views.reach import PAGES_AHEAD, page_of

LONGEST: Final = 200


def search(request: HttpRequest) -> HttpResponse:
    typed, kind = request.GET.get("q", "")[:LONGEST].strip(), request.GET.get("kind", "")
    workroom = getattr(request.user, "role", "") == "workroom"
    there = numbered(typed, workroom=workroom)
    if there is not None and not kind:
        return redirect(there)
    found, wrong_letter = groups(typed, workroom=workroom)
    context: dict[str, Any] = {"typed": typed, "wrong_letter": wrong_letter, "kind": kind}
    if kind in FindableKind:
        one = Group.of(FindableKind(kind), found)
        ahead = PAGES_AHEAD if one.all_counted else 0
        page = page_of(request, rows_of(one.kind), one.best, ahead=ahead)
        context |= {"page": page, "group": one}
    else:
        context["groups"] = found
    return render(request, "search.html", context)
