"""Patterns and their versions."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from patterns.geometry.refusals import GeometryRefused
from patterns.models import Pattern, PatternVersion
from patterns.shown import changes, drawn, numbers


def pattern(request: HttpRequest, pk: int) -> HttpResponse:
    return render(request, "pattern.html", _all_about(_get_pattern(pk)))


def _get_pattern(pk: int) -> Pattern:
    return get_object_or_404(Pattern.objects.select_related("branched_from__pattern"), pk=pk)


def _all_about(row: Pattern, **more: Any) -> dict[str, Any]:
    """The versions, newest first, each with what it changed, which ticket caused it, and what
    was cut from it; a fixed number of queries however many there are."""
    versions = list(
        row.versions.select_related("made_by", "parent__pattern").prefetch_related(
            "tickets_causing", "orders__customer", "branches"
        )
    )
    newest = versions[0] if versions else None
    plates, undrawn = drawn(newest) if newest else ({}, "")
    cut_for = {order.customer for version in versions for order in version.orders.all()}
    return {
        "customers": sorted((one for one in cut_for if not one.erased_on), key=str),
        "pattern": row,
        "versions": [(version, changes(version)) for version in versions],
        "newest": newest,
        "plates": plates,
        "undrawn": undrawn,
    } | more


def pattern_version(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    rows = PatternVersion.objects.select_related("pattern", "parent__pattern", "made_by")
    rows = rows.prefetch_related("tickets_causing", "orders__customer", "branches")
    version = get_object_or_404(rows, pattern=pk, number=number)
    plates, undrawn = drawn(version)
    context = {
        "version": version,
        "pattern": version.pattern,
        "rows": _numbers(version),
        "changes": changes(version),
        "plates": plates,
        "undrawn": undrawn,
    }
    return render(request, "pattern_version.html", context)


def _numbers(version: PatternVersion) -> list[Any]:
    """The numbers; none where the geometry refuses them, which the drawing then says."""
    try:
        return [*numbers(version)]
    except GeometryRefused:
        return []


@require_POST
def pattern_retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a pattern but offer it no more. It wants a reason, once."""
    row = _get_pattern(pk)
    reason = request.POST.get("reason", "").strip()
    refusal = _why_not_retired(row, reason)
    if refusal:
        context = _all_about(row, refusal=refusal, reason=reason)
        return render(request, "pattern.html", context, status=422)
    row.retired_on, row.retired_reason = timezone.localdate(), reason[:300]
    row.save()
    messages.success(request, f"Retired: {row}. It is kept, and no longer offered.")
    return redirect(row)


def _why_not_retired(row: Pattern, reason: str) -> str:
    if row.retired_on is not None:
        return f"This pattern was retired on {row.retired_on:%-d %b %Y} already."
    return "" if reason else "Say why it is retired: whoever looks for it will want to know."
