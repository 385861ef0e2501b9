"""The page on which a version of a pattern is walked: every check, side beside side."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from patterns.geometry.check import Check
from patterns.models import PatternVersion
from patterns.rules.case import Side
from patterns.rules.pattern import SidePattern
from patterns.rules.walked import newly_failed, walked


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A check as one side of the table shows it; `is_new` where the version before passed it."""

    check: Check
    is_new: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One check on both sides; None where a side could not be walked so far."""

    what: str
    left: Shown | None
    right: Shown | None


def pattern_check(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    versions = PatternVersion.objects.select_related("pattern", "parent__pattern")
    version = get_object_or_404(versions, pattern=pk, number=number)
    sides = [_side(version, side) for side in Side]
    failed = sum(not shown.check.passed for side in sides for shown in side.values())
    context = {"version": version, "rows": _rows(*sides), "failed": failed}
    return render(request, "pattern_check.html", context)


def _side(version: PatternVersion, side: Side) -> dict[str, Shown]:
    checks = walked(SidePattern.read(version.sides[side]))
    new: tuple[Check, ...] = ()
    if version.parent is not None:
        new = newly_failed(walked(SidePattern.read(version.parent.sides[side])), checks)
    return {check.id: Shown(check=check, is_new=check in new) for check in checks}


def _rows(left: dict[str, Shown], right: dict[str, Shown]) -> list[Row]:
    """Rows in the order walked; what only one side has comes with the other side empty."""
    rows = []
    for key in dict.fromkeys([*left, *right]):
        of = [side[key] for side in (left, right) if key in side]
        rows.append(Row(what=of[0].check.what, left=left.get(key), right=right.get(key)))
    return rows
