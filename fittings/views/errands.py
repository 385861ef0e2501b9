"""Long work that somebody asked for: how far it is, and what came of it. Only theirs to see."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from typing import Any, Final

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.errands.asking import ask, go_on
from fittings.errands.kinds import KINDS
from fittings.errands.queue import somebody_is_at_work
from fittings.errands.shared_clock import shared_now
from fittings.errands.under_way import fetched, is_over
from fittings.looked_at import looked_at
from fittings.models import Customer, Errand, ErrandKind, ErrandState

LISTED: Final = 5


def get_errand(request: HttpRequest, key: uuid.UUID) -> Errand:
    """What whoever is signed in asked for; of an erased customer there is nothing any more."""
    rows = Errand.objects.select_related("customer", "book").filter(asked_by=request.user.pk)
    row = get_object_or_404(rows, pk=key)
    if is_over(row, timezone.now()):
        raise Http404("This is no longer kept: ask for it once more.")
    if row.customer is not None:
        if row.customer.erased_on is not None:
            raise Http404("This customer was erased.")
        looked_at(request, row.customer.pk)
    return row


def asked_for(
    request: HttpRequest,
    kind: ErrandKind,
    subject: str,
    *,
    said: dict[str, Any] | None = None,
    customer: Customer | None = None,
    file: File[Any] | None = None,
) -> HttpResponse:
    """Ask for it, and lead to where it is waited for, or to what came of it."""
    by: Any = request.user
    identity = request.POST.get("asked_as", "")
    row = ask(
        kind,
        subject,
        by=by,
        at=timezone.now(),
        identity=identity,
        said=said,
        customer=customer,
        file=file,
    )
    return redirect(_came_of(row) if row.state == ErrandState.DONE else row.get_absolute_url())


def _came_of(row: Errand) -> str:
    if row.kind == ErrandKind.BOOK:
        return row.book.get_absolute_url() if row.book else reverse("in-and-out")
    return reverse("errand-file", args=[row.pk])


def own_errands(request: HttpRequest, page: str) -> list[tuple[Errand, str]]:
    """What whoever is signed in asked for and this page lists, with its title; newest first."""
    kinds = [name for name, kind in KINDS.items() if kind.listed[0] == page]
    rows = Errand.objects.filter(asked_by=request.user.pk, kind__in=kinds)
    there = [row for row in rows.select_related("customer") if not is_over(row, timezone.now())]
    return [(row, KINDS[row.kind].title(row)) for row in there[:LISTED]]


def errand(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    return _page(request, get_errand(request, key))


def errand_state(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The part of the page that changes, asked for by itself; nothing (204) where it says what
    the page says already, so that a screen reader is told of changes only."""
    row = get_errand(request, key)
    if request.GET.get("seen") == _seen_as(row):
        return HttpResponse(status=204)
    return _page(request, row, part="#state")


@require_POST
def errand_go_on(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Once more where it failed; at once where nobody is at work."""
    return redirect(go_on(get_errand(request, key), timezone.now()))


def errand_file(request: HttpRequest, key: uuid.UUID) -> FileResponse:
    row = get_errand(request, key)
    if not row.file or not default_storage.exists(row.file):
        raise Http404("The file is no longer kept: ask for it once more.")
    kind = KINDS[row.kind]
    answer = FileResponse(
        default_storage.open(row.file), as_attachment=not kind.shown, filename=kind.filename(row)
    )
    if row.customer is not None and request.method == "GET":
        answer.streaming_content = _to_its_end(answer.streaming_content, row)
    answer["Cache-Control"] = "private, no-store"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


def _to_its_end(pieces: Any, row: Errand) -> Iterator[bytes]:
    """A download that breaks off does not come to the end of this, unless so little was left that
    the server had handed it on: then there is an hour to try again."""
    yield from pieces
    fetched(row, timezone.now())


def _is_left(row: Errand) -> bool:
    """Whether it waits and nobody is at work."""
    return row.is_under_way and not somebody_is_at_work(shared_now())


def _seen_as(row: Errand) -> str:
    """The same as long as its page has nothing new to say."""
    return f"{row.state} {row.done} {row.total} {_is_left(row)}"


def _page(request: HttpRequest, row: Errand, *, part: str = "") -> HttpResponse:
    kind = KINDS[row.kind]
    page, numbers = kind.page(row)
    context = {
        "errand": row,
        "title": kind.title(row),
        "opens": kind.opens,
        "came_of": _came_of(row),
        "back": reverse(page, args=numbers),
        "listed": kind.listed,
        "nobody": _is_left(row),
        "seen_as": _seen_as(row),
    }
    return render(request, f"errand.html{part}", context)
