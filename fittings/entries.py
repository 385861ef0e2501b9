"""What is entered at a fitting: added once, taken back visibly, never changed after signing."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING, Any

from django.db import transaction

from fittings.models import Entry, EntryKind, Fitting, Side
from fittings.refusals import Frozen, Refused
from patterns.geometry.refusals import GeometryRefused
from patterns.rules.document import BadDocument, read_case, reading_faults

if TYPE_CHECKING:
    from tailorshop.models import User

CHECKS = {"balance": "Balance", "shoulders": "Shoulders"}


def check_reading(fitting: Fitting, side: str, data: dict[str, Any]) -> None:
    """Refuse (Refused) a reading that the rules could not answer, in a sentence."""
    faults = reading_faults({"id": "this", **data})
    version = fitting.read_against
    if not faults and side and version is not None:
        faults = _faults_on_sleeve(version.sides[side], side, data)
    if faults:
        raise Refused(" ".join(_without_path(fault) for fault in faults))


def _faults_on_sleeve(pattern_side: dict[str, Any], side: str, data: dict[str, Any]) -> list[str]:
    document = {
        "side": side,
        "armhole": pattern_side["armhole"],
        "sleeve": pattern_side["sleeve"],
        "readings": [{"id": "this", **data}],
    }
    try:
        read_case(document)
    except BadDocument as bad:
        return list(bad.faults)
    except GeometryRefused as refused:
        return [str(refused)]
    return []


def _without_path(fault: str) -> str:
    """A person needs no JSON path."""
    if not fault.startswith("$"):
        return fault
    sentence = fault.partition(": ")[2]
    return f"{sentence[:1].upper()}{sentence[1:]}."


def add_entry(
    fitting: Fitting,
    *,
    side: str,
    kind: str,
    data: dict[str, Any],
    by: User,
    made_at: dt.datetime,
    identity: uuid.UUID | None = None,
) -> Entry:
    """Add one entry; the same identity sent again is the entry that is there already.

    Refuses (Refused) data that the rules cannot read.
    """
    if kind == EntryKind.READING:
        check_reading(fitting, side, data)
    elif kind == EntryKind.CHECK and data.get("check") not in CHECKS:
        raise Refused(f"{data.get('check')!r} is not one of the checks: {', '.join(CHECKS)}.")
    with transaction.atomic():
        entry, _ = Entry.objects.get_or_create(
            id=identity or uuid.uuid4(),
            defaults={
                "fitting": fitting,
                "side": side,
                "kind": kind,
                "data": data,
                "made_by": by,
                "made_at": made_at,
                "after_signing": fitting.is_signed,
            },
        )
    if entry.fitting_id != fitting.pk:
        raise Refused("This entry belongs to another fitting: reload the page and enter it again.")
    return entry


def remove_entry(fitting: Fitting, entry: Entry, *, by: User, at: dt.datetime) -> None:
    """Take an entry back; it stays on the record as taken back. Twice is once."""
    if fitting.is_signed and not entry.after_signing:
        raise Frozen("The fitting is signed: add a further reading instead of taking one back.")
    if entry.removed_at is None:
        entry.removed_at, entry.removed_by = at, by
        entry.save(update_fields=["removed_at", "removed_by"])


def restore_entry(fitting: Fitting, entry: Entry) -> None:
    """Undo the taking back."""
    if fitting.is_signed and not entry.after_signing:
        raise Frozen("The fitting is signed: add a further reading instead.")
    entry.removed_at, entry.removed_by = None, None
    entry.save(update_fields=["removed_at", "removed_by"])


SIDES = (Side.LEFT, Side.RIGHT)
