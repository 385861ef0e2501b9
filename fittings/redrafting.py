"""One side of a pattern drafted again from choices, and kept as the next version."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from fittings.refusals import Refused
from patterns.geometry.choices import SleeveChoices, check_cut, doubts, sleeve_of
from patterns.geometry.draft import TwoPiece
from patterns.geometry.head_ease import HeadEase
from patterns.geometry.making import Making
from patterns.geometry.scye_draft import ScyeDraft, ScyeMeasures, armhole_document, draft_scye
from patterns.makings import draft_change
from patterns.models import PatternVersion
from patterns.rules.difference import differences
from patterns.rules.pattern import SidePattern
from patterns.versions import follow

if TYPE_CHECKING:
    from tailorshop.models import User

OTHER = {"left": "right", "right": "left"}


@dataclass(frozen=True, kw_only=True)
class Redraft:
    """One side before and after its choices, with all that a page or a version says of it."""

    before: SidePattern
    after: SidePattern
    choices: SleeveChoices
    making: Making
    made_before: Making | None
    scye: ScyeDraft | None

    @cached_property
    def flat(self) -> TwoPiece:
        return check_cut(self.after.sleeve, self.after.armhole)

    @property
    def ease(self) -> HeadEase:
        return HeadEase.of(self.flat, self.after.armhole)

    @property
    def doubts(self) -> tuple[str, ...]:
        return doubts(self.choices, self.flat, self.after.armhole)

    @property
    def words(self) -> list[str]:
        """What the pattern's own lines change by, and what lies outside them."""
        found = [difference.words for difference in differences(self.before, self.after)]
        if self.before.outline is not None:
            found.append("the lines that were brought in: drafted anew")
        if _other_widths(self.made_before or Making(), self.making):
            found.append("seams, inlays and vent: as chosen")
        return found


def redraft(
    before: SidePattern,
    choices: SleeveChoices,
    making: Making,
    *,
    measures: ScyeMeasures | None,
    made_before: Making | None,
) -> Redraft:
    """Draft one side anew; its armhole too where there are measures. Refuses GeometryRefused."""
    scye = draft_scye(measures) if measures else None
    after = replace(before, outline=None)
    if scye is not None:
        after = replace(after, armhole_document=armhole_document(scye))
    after = replace(after, sleeve=sleeve_of(choices, after.armhole, before.sleeve))
    making.check(after.sleeve)
    return Redraft(
        before=before,
        after=after,
        choices=choices,
        making=making,
        made_before=made_before,
        scye=scye,
    )


def _other_widths(before: Making, after: Making) -> bool:
    return asdict(replace(before, arm_mm=None)) != asdict(replace(after, arm_mm=None))


def check_changes(version: PatternVersion, side: str, drafted: Redraft, *, both: bool) -> None:
    """Refuse (Refused) a draft that would be the same version again."""
    same = both and not _alike(version.sides[OTHER[side]], drafted)
    if not drafted.words and not same:
        raise Refused("Nothing is changed yet: this would be the same version again.")


def _alike(side: Mapping[str, Any], drafted: Redraft) -> bool:
    return not differences(SidePattern.read(side), drafted.after)


def keep(
    before: PatternVersion,
    side: str,
    drafted: Redraft,
    *,
    both: bool,
    note: str,
    by: User,
    at: dt.datetime,
) -> PatternVersion:
    """The next version with this side as drafted, and the other the same if `both`.

    Refuses (RetiredPattern) a pattern no longer worked on, (Refused) a draft that changes nothing.
    """
    check_changes(before, side, drafted, both=both)
    changed = [side, OTHER[side]] if both else [side]
    sides = {
        one: drafted.after.written() if one in changed else kept
        for one, kept in before.sides.items()
    }
    changes = [
        draft_change(one, drafted.making, _words(before, one, drafted))
        for one in before.sides
        if one in changed
    ]
    return follow(before, sides, changes, note=note, by=by, at=at)


def _words(before: PatternVersion, side: str, drafted: Redraft) -> list[str]:
    """What changes on a side; the other side changes from what it was itself."""
    own = SidePattern.read(before.sides[side])
    return replace(drafted, before=own).words
