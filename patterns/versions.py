"""A further version of a pattern; the one it comes from stays as it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.db.models import Max

from patterns.models import Pattern, PatternVersion
from patterns.rules.pattern import Change, SidePattern

if TYPE_CHECKING:
    from tailorshop.models import User


class RetiredPattern(ValueError):
    """A pattern that is kept and no longer worked on; the text says what to do instead."""


def check_can_follow(pattern: Pattern) -> None:
    """Refuse (RetiredPattern) in the sentence that the button shows."""
    if pattern.retired_on is not None:
        raise RetiredPattern(
            f"{pattern} is retired: branch it for another garment to go on from it."
        )


def next_version(
    before: PatternVersion,
    changes: Mapping[str, Sequence[Change]],
    *,
    note: str,
    by: User,
    at: dt.datetime,
) -> PatternVersion:
    """The version after `before` with the changes of each side ("left", "right") applied.

    Refuses RetiredPattern, and GeometryRefused what an armhole cannot take.
    """
    sides = {side: _changed(kept, changes.get(side, ())) for side, kept in before.sides.items()}
    done = [
        {"side": side, **change.written()}
        for side in before.sides
        for change in changes.get(side, ())
    ]
    return follow(before, sides, done, note=note, by=by, at=at)


def follow(
    before: PatternVersion,
    sides: dict[str, Any],
    changes: list[dict[str, Any]],
    *,
    note: str,
    by: User,
    at: dt.datetime,
) -> PatternVersion:
    """The pattern's next version, with these sides; `changes` is what was done to `before`.

    Refuses RetiredPattern.
    """
    with transaction.atomic():
        pattern = Pattern.objects.select_for_update().get(pk=before.pattern_id)
        check_can_follow(pattern)
        last = pattern.versions.aggregate(number=Max("number"))["number"]
        return PatternVersion.objects.create(
            pattern=pattern,
            number=last + 1,
            parent=before,
            sides=sides,
            changes=changes,
            note=note,
            made_at=at,
            made_by=by,
        )


def _changed(side: dict[str, Any], changes: Sequence[Change]) -> dict[str, Any]:
    """An unchanged side is kept to the letter."""
    return SidePattern.read(side).with_changes(*changes).written() if changes else side
