"""Something is done once, however often a device without network sends it."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import transaction

from fittings.fitting_room.entries import SENT_OTHERWISE
from fittings.models import Act, Customer
from fittings.refusals import Refused

if TYPE_CHECKING:
    from tailorshop.models import User


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What a device sent: under which identity (None: without script), its digest, by whom, when
    it was said on the device."""

    identity: uuid.UUID | None
    digest: str
    by: User
    made_at: dt.datetime


def once(customer: Customer, kind: str, sent: Sent, do: Callable[[], str]) -> str:
    """Do it, and answer what is to be said; sent again, only what was said the first time.

    That it was done is written together with it: what is refused leaves no trace, and may be sent
    again. Refuses (Refused) another body under an identity that is known.
    """
    with transaction.atomic():
        act, is_new = Act.objects.get_or_create(
            id=sent.identity or uuid.uuid4(),
            defaults={
                "customer": customer,
                "kind": kind,
                "digest": sent.digest,
                "made_at": sent.made_at,
                "made_by": sent.by,
            },
        )
        if not is_new:
            if act.digest != sent.digest:
                raise Refused(SENT_OTHERWISE)
            return act.said
        act.said = do()[: Act._meta.get_field("said").max_length]
        act.save(update_fields=["said"])
        return act.said
