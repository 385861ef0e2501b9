"""The secret address of one's own calendar, and what it opens."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from fittings.diary.feed import digest, renew, revoke, written
from fittings.models import CalendarFeed


def calendar_address(request: HttpRequest) -> HttpResponse:
    """Make, renew or revoke it; a new address is shown in this one answer and never again."""
    if not request.user.is_authenticated:
        raise Http404("There is no such page for you.")
    address = ""
    if request.method == "POST" and "revoke" in request.POST:
        revoke(request.user)
        messages.success(request, "Revoked: the address opens nothing any more.")
        return redirect("calendar-address")
    if request.method == "POST":
        token = renew(request.user, at=timezone.now())
        address = request.build_absolute_uri(reverse("calendar-feed", args=[token]))
    feed = CalendarFeed.objects.filter(user=request.user).exclude(digest=None).first()
    answer = render(request, "calendar_address.html", {"feed": feed, "address": address})
    answer["Cache-Control"] = "private, no-store"
    return answer


def calendar_feed(request: HttpRequest, token: str) -> HttpResponse:
    """Open without signing in: the token is the check, and only of somebody who works here."""
    feed = (
        CalendarFeed.objects.filter(digest=digest(token), user__is_active=True)
        .exclude(user__role="keeper")
        .select_related("user")
        .first()
    )
    if feed is None:
        raise Http404("There is no such calendar.")
    answer = HttpResponse(
        written(feed, now=timezone.now()), content_type="text/calendar; charset=utf-8"
    )
    answer["Cache-Control"] = "private, no-store"
    return answer
