"""What the fitter says to proposals: one at a time, or all that is shown at once."""

from __future__ import annotations

import uuid

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from fittings.fitting_room.acts import Sent, once
from fittings.fitting_room.decisions import check_as_sent, decide
from fittings.fitting_room.entries import SENT_OTHERWISE, checks_of
from fittings.fitting_room.proposals import every_side, one_side
from fittings.fitting_room.proposed import SAME_MM, AnyProposed, ProposedOnGarment
from fittings.forms.fitting import DECISION_FORMS, AcceptForm, DecisionForm
from fittings.models import Decision, Fitting, Side, Verdict
from fittings.refusals import Frozen, Refused
from fittings.units import in_units
from fittings.views.fitting_room import get_fitting, not_done, not_saved, saved
from fittings.views.reach import unit_of
from fittings.views.sent import identity_of, made_at, over_of, sent_of, signed_in

CHANGED = "The readings changed since this was shown: look at what is proposed now."


@require_POST
def decision(request: HttpRequest, pk: int) -> HttpResponse:
    row, unit, side = get_fitting(request, pk), unit_of(request), _side(request)
    identity = identity_of(request)
    if identity and (known := row.decisions.filter(pk=identity).first()):
        return _decided_before(request, row, known)
    proposed = one_side(row, side).find(request.POST.get("key", ""))
    kind = DECISION_FORMS.get(request.POST.get("verdict", ""))
    if kind is None:
        raise Refused("Accept, amend or refuse it.")
    proposal = proposed.document if proposed else None
    form = kind(request.POST, side=side, proposal=proposal, unit=unit)
    if not form.is_valid():
        return not_saved(request, row, form)
    try:
        said = _decide(request, row, side, proposed, form)
    except Refused as refusal:
        form.refuse(str(refusal))
        status = 409 if isinstance(refusal, Frozen) else 422
        return not_saved(request, row, form, str(refusal), status=status)
    focus = f"{side}-{form.cleaned_data['key'].replace(':', '-')}"
    return saved(request, row, said, side=side, focus=focus, garment=_check_of(proposed))


def _decided_before(request: HttpRequest, row: Fitting, known: Decision) -> HttpResponse:
    """Sent again because the answer was lost: answered as then, whatever changed since."""
    side, key, verdict = (request.POST.get(name, "") for name in ("side", "key", "verdict"))
    kind = DECISION_FORMS.get(verdict, AcceptForm)
    form = kind(request.POST, side=side, proposal=known.proposal, unit=unit_of(request))
    if not form.is_valid():
        raise Refused(SENT_OTHERWISE)
    check_as_sent(known, row, side, key, verdict, form.amount_mm, form.reason)
    return saved(
        request,
        row,
        _said(request, known),
        side=known.side,
        garment=known.proposal.get("check", ""),
    )


def _side(request: HttpRequest) -> str:
    """A side; "" is the garment as a whole, which has proposals of its own."""
    side = request.POST.get("side", "none")
    if side not in Side.values:
        raise Refused("Say whether it is the wearer's left or the wearer's right.")
    return side


def _check_of(proposed: AnyProposed | None) -> str:
    """The check under which the page shows it; "" for a sleeve's."""
    return proposed.correction.row.check if isinstance(proposed, ProposedOnGarment) else ""


def _decide(
    request: HttpRequest, row: Fitting, side: str, proposed: AnyProposed | None, form: DecisionForm
) -> str:
    """Keep the decision on what was on the screen; say it in words."""
    asked = form.cleaned_data
    if proposed is not None and not _as_seen(proposed, asked["seen_mm"]):
        raise Refused(CHANGED)
    kept = decide(
        row,
        side=side,
        key=asked["key"],
        verdict=form.VERDICT,
        by=signed_in(request),
        at=made_at(request),
        amount_mm=form.amount_mm,
        reason=form.reason,
        identity=asked["identity"],
        over=over_of(request),
    )
    return _said(request, kept)


def _said(request: HttpRequest, decision: Decision) -> str:
    title = in_units((decision.outcome or decision.proposal)["title"], unit_of(request))
    return f"{decision.get_verdict_display()}: {title}"


def _as_seen(proposed: AnyProposed, seen_mm: float) -> bool:
    return abs(proposed.correction.shift_mm - seen_mm) <= SAME_MM


@require_POST
def accept_all(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept everything that was shown undecided in one place, or nothing of it."""
    row, check, sent = get_fitting(request, pk), request.POST.get("check", ""), sent_of(request)
    if check and check not in {known.id for known in checks_of(row)}:
        raise Refused("This check is not known: open the page anew.")
    side = "" if check else _side(request)
    shown = request.POST.getlist("one")

    def accept() -> str:
        _accept(row, shown, sent)
        return f"Accepted, {len(shown)} in all"

    try:
        said = once(row.order.customer, "accept all", sent, accept)
    except Refused as refusal:
        return not_done(request, row, str(refusal))
    return saved(request, row, said, side=side, garment=check)


def _accept(row: Fitting, shown: list[str], sent: Sent) -> None:
    """`shown`: side|key|amount in mm of each, as it stood on the screen. All in one moment, so that
    it is one step to take back. Refuses (Refused) what is no longer so."""
    sides, tap = {str(one.side): one for one in every_side(row)}, sent.identity or uuid.uuid4()
    with transaction.atomic():
        for one in shown:
            side, key, seen_mm = _shown(one)
            proposed = sides[side].find(key) if side in sides else None
            if proposed is None or not _as_seen(proposed, seen_mm):
                raise Refused(CHANGED)
            if not proposed.is_decided:
                decide(
                    row,
                    side=side,
                    key=key,
                    verdict=Verdict.ACCEPTED,
                    by=sent.by,
                    at=sent.made_at,
                    identity=uuid.uuid5(tap, f"{side}|{key}"),
                )


def _shown(one: str) -> tuple[str, str, float]:
    try:
        side, key, seen_mm = one.split("|")
        return side, key, float(seen_mm)
    except ValueError:
        raise Refused(CHANGED) from None
