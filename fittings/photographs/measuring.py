"""A photograph measured: touches become angles with their noise, and these readings of the fitting.

Kept as a note that says all of it, and, where arm and sleeve were touched from the side, as a
reading of the pitch with its own noise. Both name the photograph and its touches (`detail`), so
that it can be opened again and mended: measuring again takes back what was measured before.
"""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction

from fittings.fitting_room.entries import SENT_OTHERWISE, add_entry, remove_entry
from fittings.models import Entry, EntryKind, Photograph
from fittings.photographs.touching import Touched, in_pixels, limb, seen_from
from fittings.refusals import Frozen, Refused
from patterns.geometry import touches as law
from patterns.geometry.cloth_scale import CuffStands, cuff_stands, mm_per_px
from patterns.geometry.noise import Estimate
from patterns.geometry.refusals import GeometryRefused

if TYPE_CHECKING:
    from tailorshop.models import User

NOT_OF_A_DETAIL: Final = (
    "A detail does not say where the front is: say first from where this photograph was taken."
)
LEAST_DROP_MM: Final = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Degrees, positive forward from the side and out from the body from front or back."""

    is_side: bool
    arm: Estimate
    arm_bend: Estimate
    sleeve: Estimate | None = None
    sleeve_bend: Estimate | None = None
    apart: Estimate | None = None
    cuff: CuffStands | None = None

    def reading(self) -> dict[str, Any] | None:
        """The pitch in the suggestion document's words; by the cuff where a length was known."""
        if not self.is_side or self.apart is None:
            return None
        if self.cuff is not None and self.cuff.drop_mm >= LEAST_DROP_MM:
            return {
                "what": "pitch",
                "cuff_offset_mm": round(self.cuff.offset.value, 1),
                "drop_mm": round(self.cuff.drop_mm),
                "sigma_mm": round(self.cuff.offset.sigma, 1),
            }
        return {
            "what": "pitch",
            "angle_deg": round(self.apart.value, 1),
            "sigma_deg": round(self.apart.sigma, 1),
        }


def measure(photograph: Photograph, touched: Touched) -> Measured:
    """Refuses (Refused) touches that give no angle, in a sentence that says what to do."""
    view = seen_from(photograph)
    if view is None:
        raise Refused(NOT_OF_A_DETAIL)
    if begun := next(touched.begun(), None):
        missing = next(t for t in begun.touches if t.name not in touched.places)
        raise Refused(f"Touch {missing.asks} as well.")
    try:
        return _measured(photograph, touched, view)
    except GeometryRefused as refused:
        raise Refused(str(refused)) from None


def _measured(photograph: Photograph, touched: Touched, view: law.SeenFrom) -> Measured:
    unknowns = law.Unknowns.of_picture(photograph.width, photograph.height)
    way, plumb = law.way(view, touched.side), _plumb(photograph, touched, unknowns)
    arm = limb(photograph, touched, "arm")
    known = Measured(
        is_side=view.is_side,
        arm=law.hang(arm, plumb, way, unknowns),
        arm_bend=law.bend(arm, way, unknowns),
    )
    if not touched.has("sleeve"):
        return known
    sleeve = limb(photograph, touched, "sleeve")
    return Measured(
        is_side=known.is_side,
        arm=known.arm,
        arm_bend=known.arm_bend,
        sleeve=law.hang(sleeve, plumb, way, unknowns),
        sleeve_bend=law.bend(sleeve, way, unknowns),
        apart=law.arm_minus_sleeve(arm, sleeve, way, unknowns),
        cuff=_cuff(photograph, touched, plumb, way, unknowns),
    )


def _plumb(photograph: Photograph, touched: Touched, unknowns: law.Unknowns) -> law.Plumb:
    if not touched.has("plumb"):
        return law.plumb_of_picture(photograph.width, unknowns)
    return law.plumb_touched(
        in_pixels(photograph, touched.places["plumb_upper"]),
        in_pixels(photograph, touched.places["plumb_lower"]),
        unknowns,
    )


def _cuff(
    photograph: Photograph, touched: Touched, plumb: law.Plumb, way: int, unknowns: law.Unknowns
) -> CuffStands | None:
    if not touched.has("rule") or touched.rule_mm is None:
        return None
    scale = mm_per_px(
        in_pixels(photograph, touched.places["rule_one"]),
        in_pixels(photograph, touched.places["rule_other"]),
        touched.rule_mm,
        unknowns,
    )
    arm, sleeve = (limb(photograph, touched, group) for group in ("arm", "sleeve"))
    return cuff_stands(arm, sleeve, plumb, way, scale, unknowns)


def said(photograph: Photograph, measured: Measured) -> str:
    """All that was measured, as a sentence."""
    told = [
        f"arm {_off(measured.arm, measured.is_side)}",
        f"elbow bent {_bent(measured.arm_bend, measured.is_side)}",
    ]
    if measured.sleeve is not None and measured.sleeve_bend is not None:
        told.append(f"sleeve {_off(measured.sleeve, measured.is_side)}")
        told.append(f"sleeve bent {_bent(measured.sleeve_bend, measured.is_side)}")
    return f"Photograph {photograph.get_view_display()}: {'; '.join(told)}"


def _off(angle: Estimate, is_side: bool) -> str:
    if is_side:
        way = "forward of plumb" if angle.value >= 0 else "behind plumb"
    else:
        way = "out from the body" if angle.value >= 0 else "in toward the body"
    return f"{give_or_take(angle)} {way}"


def _bent(angle: Estimate, is_side: bool) -> str:
    ways = ("forward", "back") if is_side else ("out from the body", "in toward the body")
    return f"{give_or_take(angle)} {ways[angle.value < 0]}"


def give_or_take(angle: Estimate) -> str:
    return f"{abs(angle.value):.1f}° (give or take {angle.sigma:.1f}°)"


def measured_on(photograph: Photograph, side: str = "") -> list[Entry]:
    """The standing entries that were measured on this photograph, oldest first."""
    found = photograph.fitting.entries.standing().filter(
        data__detail__photograph=str(photograph.pk)
    )
    return list(found.filter(side=side) if side else found)


def touched_on(photograph: Photograph, side: str) -> Touched | None:
    """The touches that stand for this arm; None where nothing was measured."""
    for entry in reversed(measured_on(photograph, side)):
        return Touched.read(entry.data["detail"]["touched"])
    return None


def newest_id(photograph: Photograph, side: str) -> str:
    """The id of what was measured last of this arm; "" where nothing was."""
    notes = [e for e in measured_on(photograph, side) if e.kind == EntryKind.NOTE]
    return str(notes[-1].pk) if notes else ""


def check_seen(photograph: Photograph, side: str, over: uuid.UUID | str | None, by: User) -> None:
    """Refuse (Frozen) to put it in place of what somebody else measured and nobody here saw."""
    known = newest_id(photograph, side)
    if over is None or not known or known == str(over):
        return
    entry = Entry.objects.select_related("made_by").get(pk=known)
    if entry.made_by_id != by.pk:
        raise Frozen(
            f"{entry.made_by} measured this arm on the photograph meanwhile: {entry.data['text']}. "
            "Look at it, then keep yours in its place."
        )


def keep(
    photograph: Photograph,
    touched: Touched,
    *,
    by: User,
    made_at: dt.datetime,
    identity: uuid.UUID,
    over: uuid.UUID | str | None = None,
) -> Entry:
    """Keep what was measured in place of what was measured before; sent twice is kept once.

    `over`: what was kept of this arm when it was touched ("": nothing, None: not said). Refuses
    (Refused) as `measure` does, and what the rules could not answer; (Frozen) to put itself in
    place of what somebody else measured meanwhile, unseen.
    """
    measured = measure(photograph, touched)
    detail = {"photograph": str(photograph.pk), "touched": touched.data()}
    if again := photograph.fitting.entries.filter(pk=identity).first():
        if (again.side, again.data.get("detail")) != (touched.side, detail):
            raise Refused(SENT_OTHERWISE)
        return again
    check_seen(photograph, touched.side, over, by)
    note = {"text": said(photograph, measured), "detail": detail}
    reading = measured.reading()
    shared: dict[str, Any] = {"side": touched.side, "by": by, "made_at": made_at}
    with transaction.atomic():
        for old in measured_on(photograph, touched.side):
            if not photograph.fitting.is_signed or old.after_signing:
                remove_entry(photograph.fitting, old, by=by, at=made_at)
        if reading is not None:
            add_entry(
                photograph.fitting,
                kind=EntryKind.READING,
                data=reading | {"detail": detail},
                identity=uuid.uuid5(identity, "reading"),
                **shared,
            )
        return add_entry(
            photograph.fitting, kind=EntryKind.NOTE, data=note, identity=identity, **shared
        )
