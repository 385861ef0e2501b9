"""Who looked: one row for each person, page, customer and ten minutes, written after the answer."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any, Final

from django.db import DatabaseError
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from fittings.looked_at import customers_looked_at
from tailorshop.models import Seen
from tailorshop.signing_in.idle import BY_ITSELF

WINDOW_S: Final = 600
# Lists show many names at once: that they were looked at is written without a customer.
LISTS: Final = frozenset(
    {"customer-list", "order-list", "ticket-list", "question-list", "bench", "search"}
)
# Shown to nobody of whom it cannot be written that they looked.
NEVER_UNSEEN: Final = frozenset({"health-notes", "health-note-edit"})
# A form that comes back shows the record too, and so does a page that somebody posts to.
SHOWN: Final = frozenset({200, 409, 422})
log = logging.getLogger(__name__)


class SeenMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        answer = self.get_response(request)
        shown = request.method != "HEAD" and answer.status_code in SHOWN
        if shown and request.user.is_authenticated:
            match = request.resolver_match
            self._write(request, (match.url_name if match else None) or "")
        return answer

    def _write(self, request: HttpRequest, page: str) -> None:
        customers: list[int | None] = sorted(customers_looked_at(request))  # type: ignore[assignment]
        if page in LISTS:
            customers = [None]
        if not customers or page in BY_ITSELF:
            return
        try:
            write_down(request.user, page, customers)
        except DatabaseError:
            # A full disk must not close the book to a fitter with a customer before the mirror.
            if page in NEVER_UNSEEN:
                raise
            log.exception("The trail could not be written for the page %s", page)


def write_down(user: Any, page: str, customers: list[int | None]) -> None:
    """Add what is not written yet: one query to look, one more where something is to be added."""
    now = timezone.now()
    window = int(now.timestamp()) // WINDOW_S
    through = getattr(user, "signed_in_by", None)
    there = Seen.objects.filter(user_id=user.pk, page=page, window=window)
    known = set(there.values_list("customer_key", flat=True))
    rows = [
        Seen(
            user_id=user.pk,
            through=through,
            page=page,
            customer_key=key,
            at=now,
            window=window,
        )
        for key in customers
        if key not in known
    ]
    if rows:
        # Two requests at once: the constraint lets one of them write.
        Seen.objects.bulk_create(rows, ignore_conflicts=True)
