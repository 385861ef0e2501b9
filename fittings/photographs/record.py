"""What may be done with a photograph: added once, taken back visibly, never changed once signed."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.db import transaction

from fittings.models import Customer, Fitting, Photograph, PhotographView, Side
from fittings.photographs.keeping import keep, load
from fittings.photographs.measuring import measured_on
from fittings.photographs.taking import digest, taken_in, turned
from fittings.refusals import Frozen, Refused

if TYPE_CHECKING:
    from tailorshop.models import User

# More would not be small pictures beside the work any more.
MOST_ON_TICKET: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Shows:
    """What a photograph shows, said in one tap: the side, and from where it is seen."""

    key: str
    side: str
    view: str
    words: str


SHOWS: Final = (
    Shows(key="front", side="", view=PhotographView.FRONT, words="front"),
    Shows(key="back", side="", view=PhotographView.BACK, words="back"),
    Shows(key="left", side=Side.LEFT, view=PhotographView.LEFT, words="from wearer's left"),
    Shows(key="right", side=Side.RIGHT, view=PhotographView.RIGHT, words="from wearer's right"),
    Shows(
        key="detail-left", side=Side.LEFT, view=PhotographView.DETAIL, words="detail, wearer's left"
    ),
    Shows(
        key="detail-right",
        side=Side.RIGHT,
        view=PhotographView.DETAIL,
        words="detail, wearer's right",
    ),
    Shows(key="detail", side="", view=PhotographView.DETAIL, words="detail of the garment"),
)


def shows_of(photograph: Photograph) -> Shows | None:
    """The one tap that says what this photograph shows, if there is one."""
    return next((s for s in SHOWS if s.side == photograph.side and s.view == photograph.view), None)


def check_can_photograph(customer: Customer) -> None:
    """Refuse (Refused) in the sentence that stands where the camera would be."""
    if customer.fitting_photo_consent_on is None:
        raise Refused(
            f"{customer} has not agreed to photographs to fit by. Ask first; they are seen by the "
            "shop only, and it can be taken back at any time."
        )


def add_photograph(
    fitting: Fitting,
    data: bytes,
    *,
    shows: Shows,
    by: User,
    taken_at: dt.datetime,
    identity: uuid.UUID | None = None,
) -> Photograph:
    """Take a photograph in; the same identity sent again is the photograph that is there already.

    Refuses (Refused) without the customer's consent, a file that is no sound photograph, and
    another file or another fitting under an identity that is taken.
    """
    check_can_photograph(fitting.order.customer)
    identity, sent = identity or uuid.uuid4(), digest(data)
    kept = Photograph.objects.filter(pk=identity).first()
    if kept is None:
        taken = taken_in(data)
        with transaction.atomic():
            # It may have been taken back on another device while this was read.
            customer = Customer.objects.select_for_update().get(pk=fitting.order.customer_id)
            check_can_photograph(customer)
            keep(taken)
            kept, _ = Photograph.objects.get_or_create(
                id=identity,
                defaults={
                    "fitting": fitting,
                    "side": shows.side,
                    "view": shows.view,
                    "taken_at": taken_at,
                    "made_by": by,
                    "after_signing": fitting.is_signed,
                    "sent_sha256": sent,
                    "sha256": taken.sha256,
                    "width": taken.width,
                    "height": taken.height,
                },
            )
    if kept.fitting_id != fitting.pk or kept.sent_sha256 != sent:
        raise Refused(
            "Another photograph was sent under this name already: reload the page and choose it "
            "once more."
        )
    return kept


def check_can_change(photograph: Photograph) -> None:
    """Refuse (Frozen) what was signed."""
    if photograph.fitting.is_signed and not photograph.after_signing:
        raise Frozen("The fitting is signed: take a further photograph instead.")


def take_back(photograph: Photograph, *, by: User, at: dt.datetime) -> None:
    """Take a photograph back; it stays on the record as taken back. Twice is once."""
    check_can_change(photograph)
    if photograph.removed_at is None:
        photograph.removed_at, photograph.removed_by = at, by
        photograph.save(update_fields=["removed_at", "removed_by"])


def put_back(photograph: Photograph) -> None:
    """Undo the taking back."""
    check_can_change(photograph)
    photograph.removed_at, photograph.removed_by = None, None
    photograph.save(update_fields=["removed_at", "removed_by"])


def describe(photograph: Photograph, *, shows: Shows, note: str) -> None:
    """Say anew what it shows, and what is printed under it.

    Refuses (Refused) another side or place of the camera once it is measured: forward would become
    back.
    """
    check_can_change(photograph)
    if (shows.side, shows.view) != (photograph.side, photograph.view) and measured_on(photograph):
        raise Refused(
            f"This photograph was measured as {photograph}: take those readings back first."
        )
    photograph.side, photograph.view, photograph.note = shows.side, shows.view, note
    photograph.save(update_fields=["side", "view", "note"])


def turn(photograph: Photograph) -> None:
    """Turn it by a quarter, its top edge to the right: new files; the history names the old ones.

    Refuses (Refused) where something is marked or measured on it: that would lie elsewhere.
    """
    check_can_change(photograph)
    if photograph.marks.exists() or _is_measured(photograph):
        raise Refused(
            "Something is marked or measured on this photograph and would lie elsewhere: turn a "
            "photograph before marking it, or take it once more."
        )
    master = load(photograph.sha256)
    if master is None:
        raise Refused("The file of this photograph is no longer kept.")
    taken = turned(master)
    photograph.sha256 = keep(taken)
    photograph.width, photograph.height = taken.width, taken.height
    photograph.save(update_fields=["sha256", "width", "height"])


def _is_measured(photograph: Photograph) -> bool:
    return any(str(photograph.pk) in str(entry.data) for entry in photograph.fitting.entries.all())


def send_to_workroom(photograph: Photograph, *, wanted: bool) -> None:
    """Whether it goes onto the ticket; said until the paper is issued, and for the next paper.

    Refuses (Refused) what was taken back, and more than fit beside the work.
    """
    if wanted and photograph.removed_at:
        raise Refused("It is taken back: put it back before it goes onto the ticket.")
    others = photograph.fitting.photographs.standing().for_workroom().exclude(pk=photograph.pk)
    if wanted and others.count() >= MOST_ON_TICKET:
        raise Refused(
            f"{MOST_ON_TICKET} photographs go onto the ticket already: leave one of them out first."
        )
    photograph.to_workroom = wanted
    photograph.save(update_fields=["to_workroom"])
