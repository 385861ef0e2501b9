"""One side of a pattern drafted again from choices: drawn first, then kept as a version."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from fittings.forms.drafting import DraftForm
from fittings.redrafting import OTHER, Redraft, keep
from fittings.refusals import Refused
from fittings.views.reach import unit_of
from patterns.drawing.armhole import armhole_plate
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import TwoPiece
from patterns.geometry.head_ease import HeadEase
from patterns.geometry.refusals import GeometryRefused
from patterns.makings import makings
from patterns.models import PatternVersion
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece
from patterns.versions import RetiredPattern, check_can_follow

ARMHOLE_SCALE: Final = 1 / 3
SLEEVE_SCALE: Final = 1 / 6
LEVELS: Final = (("head", "biceps line"), ("elbow", "elbow"), ("cuff", "cuff"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One number of the draft, mm, as it was and as it comes out."""

    what: str
    before_mm: float
    after_mm: float

    @property
    def changed(self) -> bool:
        return abs(self.after_mm - self.before_mm) > 0.05


def pattern_draft(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    rows = PatternVersion.objects.select_related("pattern")
    version = get_object_or_404(rows, pattern=pk, number=number)
    side = "right" if request.GET.get("side") == "right" else "left"
    before = SidePattern.read(version.sides[side])
    context: dict[str, Any] = {"version": version, "pattern": version.pattern, "side": side}
    context |= {"other": OTHER[side], "retired": _retired(version)}
    try:
        flat = two_piece(before)
    except GeometryRefused as refused:
        return render(request, "pattern_draft.html", context | {"undrawn": str(refused)})
    form = DraftForm(
        request.POST or None,
        before=before,
        flat=flat,
        made_before=makings(version)[side],
        same=_alike(version),
        unit=unit_of(request),
    )
    context |= {"form": form, "alike": _alike(version), **_as_it_is(before, flat, side)}
    if request.method != "POST":
        return render(request, "pattern_draft.html", context)
    sound = form.is_valid()
    if form.drafted is not None:
        context |= _drawn(form.drafted, flat, side)
    if not sound or form.drafted is None:
        return render(request, "pattern_draft.html", context, status=422)
    if request.POST.get("do") != "save":
        return render(request, "pattern_draft.html", context)
    return _keep(request, version, form, context)


def _keep(
    request: HttpRequest, version: PatternVersion, form: DraftForm, context: dict[str, Any]
) -> HttpResponse:
    said, by = form.cleaned_data, request.user
    try:
        kept = keep(
            version,
            context["side"],
            context["drafted"],
            both=said["same"],
            note=said["note"],
            by=cast(Any, by),
            at=timezone.now(),
        )
    except (Refused, RetiredPattern) as refused:
        form.add_error(None, str(refused))
        return render(request, "pattern_draft.html", context, status=422)
    messages.success(request, f"Drafted: {kept}. {version} is kept as it was.")
    return redirect(kept)


def _retired(version: PatternVersion) -> str:
    try:
        check_can_follow(version.pattern)
    except RetiredPattern as refused:
        return str(refused)
    return ""


def _alike(version: PatternVersion) -> bool:
    return bool(version.sides["left"] == version.sides["right"])


def _as_it_is(before: SidePattern, flat: TwoPiece, side: str) -> dict[str, Any]:
    """What the page shows until something is drawn."""
    armhole, sleeve = before.armhole, before.sleeve
    return {
        "sleeve": sleeve_plate(flat, flat, side=side, scale=SLEEVE_SCALE, bare=True),
        "armhole": armhole_plate(
            armhole, sleeve, sleeve, side=side, scale=ARMHOLE_SCALE, bare=True
        ),
        "rows": _rows((flat, armhole), (flat, armhole)),
        "brought_in": before.outline is not None,
    }


def _drawn(drafted: Redraft, flat: TwoPiece, side: str) -> dict[str, Any]:
    before, after = drafted.before, drafted.after
    return {
        "drafted": drafted,
        "sleeve": sleeve_plate(flat, drafted.flat, side=side, scale=SLEEVE_SCALE, bare=True),
        "armhole": armhole_plate(
            after.armhole,
            before.sleeve,
            after.sleeve,
            side=side,
            scale=ARMHOLE_SCALE,
            bare=True,
        ),
        "rows": _rows((flat, before.armhole), (drafted.flat, after.armhole)),
    }


def _rows(before: tuple[TwoPiece, Armhole], after: tuple[TwoPiece, Armhole]) -> list[Row]:
    old, new = _numbers(*before), _numbers(*after)
    return [Row(what=what, before_mm=old[what], after_mm=mm) for what, mm in new.items()]


def _numbers(flat: TwoPiece, armhole: Armhole) -> dict[str, float]:
    ease = HeadEase.of(flat, armhole)
    widths = {
        f"{piece.name.capitalize()}, wide at the {words}": piece.width_mm(level)
        for level, words in LEVELS
        for piece in (flat.top, flat.under)
    }
    crown_mm = float(flat.top.points_mm["forearm head"][1])
    return {
        "Armhole, once round": armhole.girth_mm,
        "Armhole, pitch to pitch over the shoulder": _over(armhole),
        "Armhole, pitch to pitch under the arm": armhole.girth_mm - _over(armhole),
        "Head, once round": flat.head_length_mm,
        "Ease of the whole head": ease.whole_mm,
        "Ease in front, crown notch to front pitch": ease.front_mm,
        "Ease behind, back pitch to crown notch": ease.back_mm,
        "Ease under the arm, pitch to pitch": ease.under_mm,
        "Crown over the biceps line": crown_mm,
        **widths,
    }


def _over(armhole: Armhole) -> float:
    return armhole.back_pitch_s_mm - armhole.front_pitch_s_mm
