"""What is entered at a fitting: added once, taken back visibly, never changed after signing."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction

from fittings.fitting_room.places import is_signed_now, place_of_entry
from fittings.models import Entry, EntryKind, Fitting, Side
from fittings.refusals import Frozen, Refused
from patterns.geometry.refusals import GeometryRefused
from patterns.rules.checks import CHECK_IDS, Check, order_of
from patterns.rules.document import BadDocument, read_case, reading_faults

if TYPE_CHECKING:
    from tailorshop.models import User

SENT_OTHERWISE: Final = (
    "Something else was kept under the same mark before: reload the page and enter it again."
)


def checks_of(fitting: Fitting) -> tuple[Check, ...]:
    """What is looked at on this garment, in its order."""
    return order_of(fitting.order.garment)


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

    Refuses (Refused) data that the rules cannot read, and an identity that stands for another.
    """
    if identity and (known := Entry.objects.filter(pk=identity).first()):
        return _as_sent(known, fitting, side, kind, data)
    if kind == EntryKind.READING:
        check_reading(fitting, side, data)
    elif kind == EntryKind.CHECK and data.get("check") not in CHECK_IDS:
        raise Refused(f"{data.get('check')!r} is not one of the checks: {', '.join(CHECK_IDS)}.")
    with transaction.atomic():
        after_signing = is_signed_now(fitting)
        entry, _ = Entry.objects.get_or_create(
            id=identity or uuid.uuid4(),
            defaults={
                "fitting": fitting,
                "side": side,
                "kind": kind,
                "data": data,
                "made_by": by,
                "made_at": made_at,
                "place": place_of_entry(fitting, made_at),
                "after_signing": after_signing,
            },
        )
    return _as_sent(entry, fitting, side, kind, data)


def _as_sent(entry: Entry, fitting: Fitting, side: str, kind: str, data: dict[str, Any]) -> Entry:
    """The entry, if it is what was sent; refused when its identity stands for something else."""
    if entry.fitting_id != fitting.pk:
        raise Refused("This entry belongs to another fitting: reload the page and enter it again.")
    if (entry.side, entry.kind, _sent(entry.data)) != (side, kind, _sent(data)):
        raise Refused(SENT_OTHERWISE)
    return entry


def _sent(data: dict[str, Any]) -> dict[str, Any]:
    """What the device sent of it: the catalogue's row was added here, and may change meanwhile."""
    return {key: value for key, value in data.items() if key != "row"}


def settle_up_to(
    fitting: Fitting,
    check: str,
    *,
    by: User,
    made_at: dt.datetime,
    identity: uuid.UUID | None = None,
) -> Entry:
    """Settle this check and every earlier one that nobody looked at; one said to be open stays so.

    All of it carries the same `made_at`, so that it is one step to take back.
    """
    identity = identity or uuid.uuid4()
    with transaction.atomic():
        said = set(fitting.entries.standing().values_list("data__check", flat=True))
        said |= set(fitting.entries.standing().values_list("data__row__check", flat=True))
        for one in checks_of(fitting):
            if one.id == check or one.id not in said:
                kept = add_entry(
                    fitting,
                    side=Side.BODY,
                    kind=EntryKind.CHECK,
                    data={"check": one.id, "state": "settled"},
                    by=by,
                    made_at=made_at,
                    identity=uuid.uuid5(identity, one.id),
                )
            if one.id == check:
                break
    return kept


def remove_entry(
    fitting: Fitting, entry: Entry, *, by: User, at: dt.datetime, identity: uuid.UUID | None = None
) -> None:
    """Take an entry back; it stays on the record as taken back. Twice is once."""
    if _was_sent(entry, "taken back", identity):
        return
    with transaction.atomic():
        if not entry.after_signing and is_signed_now(fitting):
            raise Frozen("The fitting is signed: add a further reading instead of taking one back.")
        if entry.removed_at is None:
            entry.removed_at, entry.removed_by = at, by
            _save_standing(entry, "taken back", identity)


def restore_entry(fitting: Fitting, entry: Entry, *, identity: uuid.UUID | None = None) -> None:
    """Undo the taking back. Twice is once."""
    if _was_sent(entry, "put back", identity):
        return
    with transaction.atomic():
        if not entry.after_signing and is_signed_now(fitting):
            raise Frozen("The fitting is signed: add a further reading instead.")
        entry.removed_at, entry.removed_by = None, None
        _save_standing(entry, "put back", identity)


def _save_standing(entry: Entry, act: str, identity: uuid.UUID | None) -> None:
    """Save, with the identity of the act in the history: sent again, it is known."""
    entry._change_reason = f"{act} {identity}" if identity else act  # type: ignore[attr-defined]
    entry.save(update_fields=["removed_at", "removed_by"])


def _was_sent(entry: Entry, act: str, identity: uuid.UUID | None) -> bool:
    """Whether this very act came before: an answer lost on the way, so that it was sent again."""
    if identity is None:
        return False
    history: Any = entry.history
    acts = history.filter(history_change_reason__endswith=str(identity))
    said = acts.values_list("history_change_reason", flat=True).first()
    if said is not None and not said.startswith(act):
        raise Refused(SENT_OTHERWISE)
    return said is not None


SIDES = (Side.LEFT, Side.RIGHT)
