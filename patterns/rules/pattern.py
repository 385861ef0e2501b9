"""One side of a pattern, and corrections applied to it as data that can be replayed and undone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any, Final, Self

from patterns.geometry.armhole import Armhole
from patterns.geometry.scye import fill_front, raise_underarm
from patterns.geometry.sleeve import Girths, IronedShare, Levels, Sleeve
from patterns.rules.correction import Correction, Meaning, Operation
from patterns.rules.document import Document, read_armhole, read_sleeve


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a correction does to a pattern, no more: the data that is kept with a version."""

    operation: Operation
    shift_mm: float
    angle_deg: float = 0.0
    meaning: Meaning | None = None
    hindarm_mm: Levels = field(default_factory=Levels)
    forearm_mm: Levels = field(default_factory=Levels)
    armhole_place: str = ""
    # (before, after) where a re-draft takes the turning off the old folds.
    ironed: tuple[IronedShare, IronedShare] | None = None

    @classmethod
    def read(cls, document: Document) -> Self:
        """Out of a correction's report (`report.correction_report`) or of `written`."""
        meaning = document.get("meaning")
        return cls(
            operation=Operation(document["operation"]),
            shift_mm=document["shift_mm"],
            angle_deg=document.get("angle_deg") or 0.0,
            meaning=Meaning(meaning) if meaning else None,
            hindarm_mm=Levels(**document.get("hindarm_shift_mm") or {}),
            forearm_mm=Levels(**document.get("forearm_shift_mm") or {}),
            armhole_place=document.get("armhole_place", ""),
            ironed=_ironed_pair(document.get("ironed_share")),
        )

    @classmethod
    def of(cls, correction: Correction) -> Self:
        return cls(
            operation=correction.operation,
            shift_mm=correction.shift_mm,
            angle_deg=correction.angle_deg or 0.0,
            meaning=correction.meaning,
            hindarm_mm=correction.hindarm_mm or Levels(),
            forearm_mm=correction.forearm_mm or Levels(),
            armhole_place=str(correction.particulars.get("armhole_place", "")),
            ironed=_ironed_pair(correction.particulars.get("ironed_share")),
        )

    def written(self) -> dict[str, Any]:
        return {
            "operation": self.operation.value,
            "shift_mm": self.shift_mm,
            "angle_deg": self.angle_deg,
            "meaning": self.meaning.value if self.meaning else None,
            "hindarm_shift_mm": asdict(self.hindarm_mm),
            "forearm_shift_mm": asdict(self.forearm_mm),
            "armhole_place": self.armhole_place,
            **self._ironed_written(),
        }

    def _ironed_written(self) -> dict[str, Any]:
        if self.ironed is None:
            return {}
        before, after = self.ironed
        return {"ironed_share": {"before": asdict(before), "after": asdict(after)}}

    def scaled(self, factor: float) -> Self:
        """So many times as much of it; a re-draft keeps what it takes off the old folds."""
        return replace(
            self,
            shift_mm=self.shift_mm * factor,
            angle_deg=self.angle_deg * factor,
            hindarm_mm=self.hindarm_mm.scaled(factor),
            forearm_mm=self.forearm_mm.scaled(factor),
        )

    def inverse(self) -> Self:
        return replace(
            self,
            shift_mm=-self.shift_mm,
            angle_deg=-self.angle_deg,
            hindarm_mm=-self.hindarm_mm,
            forearm_mm=-self.forearm_mm,
            ironed=self.ironed[::-1] if self.ironed else None,
        )


def _ironed_pair(document: Any) -> tuple[IronedShare, IronedShare] | None:
    if not document:
        return None
    return IronedShare(**document["before"]), IronedShare(**document["after"])


@dataclass(frozen=True, slots=True, kw_only=True)
class SidePattern:
    """The armhole and the sleeve of one side, with the document they are kept as.

    `outline` is the two pieces as they were brought in (see `pieces.two_piece`); None: drafted.
    """

    armhole_document: Document
    sleeve: Sleeve
    outline: Document | None = None

    @classmethod
    def read(cls, document: Document) -> Self:
        return cls(
            armhole_document=document["armhole"],
            sleeve=read_sleeve(document["sleeve"]),
            outline=document.get("outline"),
        )

    @property
    def armhole(self) -> Armhole:
        return read_armhole(self.armhole_document)

    def written(self) -> dict[str, Any]:
        sleeve = {key: value for key, value in asdict(self.sleeve).items() if value is not None}
        drawn = {"outline": dict(self.outline)} if self.outline else {}
        return {"armhole": dict(self.armhole_document), "sleeve": sleeve, **drawn}

    def with_change(self, change: Change) -> Self:
        """The side after one change. Refuses GeometryRefused what the armhole cannot take."""
        if change.operation is Operation.ARMHOLE:
            recut = raise_underarm if change.armhole_place == "underarm" else fill_front
            armhole = recut(self.armhole, change.shift_mm)
            return replace(self, armhole_document=_armhole_document(armhole))
        return replace(self, sleeve=_APPLY[change.operation](self.sleeve, change))

    def with_changes(self, *changes: Change) -> Self:
        side = self
        for change in changes:
            side = side.with_change(change)
        return side


def _armhole_document(armhole: Armhole) -> dict[str, Any]:
    front, back = armhole.curve.point_at([armhole.front_pitch_s_mm, armhole.back_pitch_s_mm])
    lowest = armhole.curve.bounds_mm[1]
    return {
        "points_mm": [[round(float(x), 6), round(float(z), 6)] for x, z in armhole.curve.points_mm],
        "front_pitch_up_mm": round(float(front[1]) - lowest, 6),
        "back_pitch_up_mm": round(float(back[1]) - lowest, 6),
    }


def _seams(sleeve: Sleeve, change: Change) -> Sleeve:
    hindarm = sleeve.hindarm_shift_mm + change.hindarm_mm
    forearm = sleeve.forearm_shift_mm + change.forearm_mm
    ironed = change.ironed[1] if change.ironed else sleeve.ironed_share
    if change.meaning is Meaning.SEAM_ONLY:
        ironed = IronedShare(
            hindarm=_ironed(ironed.hindarm, sleeve.hindarm_shift_mm.elbow, hindarm.elbow),
            forearm=_ironed(ironed.forearm, sleeve.forearm_shift_mm.elbow, forearm.elbow),
        )
    return replace(sleeve, hindarm_shift_mm=hindarm, forearm_shift_mm=forearm, ironed_share=ironed)


def _ironed(share: float, before_mm: float, after_mm: float) -> float:
    """The share left on the old fold when a seam goes from before to after and the elbow stays.

    The sewn turning times its distance from the fold is what points the elbow (first order). A
    seam brought nearer than its turning lay cannot hold it all: then nothing is left to iron.
    """
    if before_mm == after_mm:
        return share
    if abs(after_mm) < 1e-9:
        return 0.0
    return min(1.0, max(0.0, 1.0 - (1.0 - share) * before_mm / after_mm))


def _width(sleeve: Sleeve, change: Change) -> Sleeve:
    """The amount acts on each of the two pieces, and runs out to nothing at the cuff."""
    girth, both = sleeve.girth_mm, 2.0 * change.shift_mm
    wider = Girths(biceps=girth.biceps + both, elbow=girth.elbow + both, cuff=girth.cuff)
    return replace(sleeve, girth_mm=wider)


def _forearm(sleeve: Sleeve, change: Change) -> Sleeve:
    girth = sleeve.girth_mm
    return replace(
        sleeve,
        girth_mm=replace(girth, elbow=girth.elbow + 2.0 * change.shift_mm),
        forearm_hollow_mm=sleeve.forearm_hollow_mm - change.shift_mm,
        forearm_stretch_mm=sleeve.forearm_stretch_mm + change.shift_mm,
    )


def _crown(sleeve: Sleeve, change: Change) -> Sleeve:
    """The head alone grows or shrinks: elbow and cuff stay where they are below the biceps line."""
    return replace(
        sleeve,
        crown_height_mm=sleeve.crown_height_mm + change.shift_mm,
        length_mm=sleeve.length_mm + change.shift_mm,
        elbow_mm=sleeve.elbow_down_mm + change.shift_mm,
    )


def _length(sleeve: Sleeve, change: Change) -> Sleeve:
    """At the cuff: the elbow stays, and the forearm goes on as it was turned."""
    return replace(
        sleeve,
        length_mm=sleeve.length_mm + change.shift_mm,
        elbow_mm=sleeve.elbow_down_mm,
        bend_deg=sleeve.turning_deg,
    )


def _adds_to(name: str) -> Callable[[Sleeve, Change], Sleeve]:
    """The operation's amount is added to this number of the sleeve."""

    def add(sleeve: Sleeve, change: Change) -> Sleeve:
        fields: dict[str, Any] = {name: getattr(sleeve, name) + change.shift_mm}
        return replace(sleeve, **fields)

    return add


def _recut(sleeve: Sleeve, change: Change) -> Sleeve:
    return replace(sleeve, drafted_hang_deg=sleeve.drafted_hang_deg + change.angle_deg)


_APPLY: Final[Mapping[Operation, Callable[[Sleeve, Change], Sleeve]]] = {
    Operation.PITCH: _adds_to("notch_shift_mm"),
    Operation.RECUT: _recut,
    Operation.SEAM_SHIFT: _seams,
    Operation.CROWN: _crown,
    Operation.FRONT_OF_HEAD: _adds_to("front_of_head_mm"),
    Operation.EASE: _adds_to("head_ease_mm"),
    Operation.UNDER_HEAD: _adds_to("under_head_hollow_mm"),
    Operation.WIDTH: _width,
    Operation.LENGTH: _length,
    Operation.BEND: _adds_to("hindarm_length_mm"),
    Operation.FOREARM: _forearm,
}
