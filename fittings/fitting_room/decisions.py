"""The fitter decides: accept, amend or refuse each proposal, then sign the fitting."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from django.db import transaction

from fittings.fitting_room.contested import is_otherwise
from fittings.fitting_room.entries import SENT_OTHERWISE
from fittings.fitting_room.places import is_signed_now, next_place
from fittings.fitting_room.proposals import SideProposals, every_side, one_side
from fittings.fitting_room.proposed import AnyProposed
from fittings.models import Decision, Fitting, Side, Verdict
from fittings.outcomes.record import keep as keep_outcomes
from fittings.refusals import Frozen, Refused
from patterns.geometry.refusals import GeometryRefused

if TYPE_CHECKING:
    from tailorshop.models import User


def decide(
    fitting: Fitting,
    *,
    side: str,
    key: str,
    verdict: str,
    by: User,
    at: dt.datetime,
    amount_mm: float | None = None,
    reason: str = "",
    identity: uuid.UUID | None = None,
    over: uuid.UUID | str | None = None,
) -> Decision:
    """Keep what the fitter said to one proposal; the same identity sent again is kept once.

    `over`: the decision that was on the screen ("": none was); where another stood meanwhile that
    says otherwise, both are shown and neither counts until the fitter chooses. None: all was seen.
    `amount_mm` is signed like the proposal's shift. Refuses (Refused) a proposal that no longer
    stands, an amendment without amount or reason, a refusal without reason; (Frozen) a decision
    that was signed.
    """
    if identity and (known := Decision.objects.filter(pk=identity).first()):
        check_as_sent(known, fitting, side, key, verdict, amount_mm, reason)
        return known
    proposed = one_side(fitting, side).find(key)
    if proposed is None:
        raise Refused("The readings have changed and no longer ask for this: look at them again.")
    if fitting.is_signed and proposed.is_decided:
        raise Frozen("This was decided and signed: add a further reading to change it.")
    outcome = _outcome(proposed, verdict, amount_mm, reason)
    with transaction.atomic():
        if is_signed_now(fitting) and not fitting.is_signed:
            raise Frozen("This fitting was signed meanwhile: look at what was decided.")
        standing = fitting.decisions.standing().filter(side=side, key=key)
        beside = None
        if over is not None and not proposed.is_stale:
            others = standing.exclude(pk=over) if over else standing
            beside = next(
                (d for d in others if is_otherwise(d, by=by, verdict=verdict, amount_mm=amount_mm)),
                None,
            )
        if beside is None:
            standing.update(withdrawn_at=at)
        return Decision.objects.create(
            id=identity or uuid.uuid4(),
            fitting=fitting,
            side=side,
            key=key,
            proposal=proposed.document,
            outcome=outcome,
            verdict=verdict,
            amount_mm=_kept_as(amount_mm),
            reason=reason,
            decided_by=by,
            decided_at=at,
            place=next_place(fitting),
            withdrawn_at=at if beside else None,
            beside=beside,
        )


def _kept_as(amount_mm: float | None) -> float | None:
    return None if amount_mm is None else round(amount_mm, 2)


def check_as_sent(
    known: Decision,
    fitting: Fitting,
    side: str,
    key: str,
    verdict: str,
    amount_mm: float | None,
    reason: str,
) -> None:
    """Refuse (Refused) anything else under the identity of a decision that is kept."""
    kept_mm = None if known.amount_mm is None else float(known.amount_mm)
    kept = (known.fitting_id, known.side, known.key, known.verdict, kept_mm, known.reason)
    if kept != (fitting.pk, side, key, verdict, _kept_as(amount_mm), reason):
        raise Refused(SENT_OTHERWISE)


def _outcome(
    proposed: AnyProposed, verdict: str, amount_mm: float | None, reason: str
) -> dict[str, Any] | None:
    """The correction to be worked, as it will stand on the ticket; None for a refusal."""
    if verdict == Verdict.ACCEPTED:
        if not proposed.can_accept:
            raise Refused(
                "The inlay leaves less of this than is worth cutting: refuse it, or amend it."
            )
        return proposed.accepted()
    if not reason.strip():
        raise Refused("Say why in a few words: the next fitter will want to know.")
    if verdict == Verdict.REFUSED:
        return None
    if not amount_mm:
        raise Refused("Give the amount that is to be worked; to do nothing, refuse the proposal.")
    try:
        return proposed.amended(amount_mm)
    except GeometryRefused as refused:
        raise Refused(str(refused)) from None


def check_can_sign(fitting: Fitting, sides: Iterable[SideProposals] | None = None) -> None:
    """Refuse (Refused, Frozen) in the sentence that the button shows.

    `sides`: every side where they are known already.
    """
    if fitting.is_signed:
        raise Frozen("This fitting is signed.")
    check_all_decided(sides or every_side(fitting))


def check_all_decided(sides: Iterable[SideProposals]) -> None:
    """Refuse (Refused) while a proposal waits, or was decided before the readings changed."""
    for side in sides:
        if side.undecided:
            count = len(side.undecided)
            what = "1 proposal is" if count == 1 else f"{count} proposals are"
            place = "the garment" if side.side == Side.BODY else f"the {side.side.label}"
            raise Refused(f"{what} undecided on {place}: accept, amend or refuse each.")


def sign(fitting: Fitting, *, by: User, at: dt.datetime) -> None:
    """Freeze the fitting: from now on it is only added to."""
    with transaction.atomic():
        is_signed_now(fitting)
        check_can_sign(fitting)
        fitting.pattern_version = fitting.order.pattern_version
        fitting.signed_at, fitting.signed_by = at, by
        fitting.save_over(fitting.version)
        keep_outcomes(fitting)
