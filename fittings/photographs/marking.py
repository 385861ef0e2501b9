"""Pins, chalk lines and notes on a photograph: put once, taken back visibly, drawn over it."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.db import transaction
from django.db.models import Max

from fittings.fitting_room.entries import SENT_OTHERWISE
from fittings.models import MarkKind, Photograph, PhotographMark
from fittings.refusals import Frozen, Refused

if TYPE_CHECKING:
    from tailorshop.models import User

# More on one picture could not be told apart on the paper.
MOST: Final = 30
# Size of a mark's disc against the longer side of the picture.
DISC: Final = 0.016


def put(
    photograph: Photograph,
    *,
    kind: str,
    points: list[list[float]],
    words: str,
    by: User,
    made_at: dt.datetime,
    identity: uuid.UUID,
) -> PhotographMark:
    """Put a mark; the same identity sent again is the mark that is there already.

    points: shares of width and height (0 to 1), one for a pin or a note, two for a chalk line.
    Refuses (Refused) what is no place in the picture, and more marks than can be told apart.
    """
    _check(kind, points)
    with transaction.atomic():
        # Two devices at once wait here for each other, so that no number is given twice.
        Photograph.objects.select_for_update().get(pk=photograph.pk)
        if kept := PhotographMark.objects.filter(pk=identity).first():
            return _as_sent(photograph, kept, kind, points, words)
        if photograph.marks.standing().count() >= MOST:
            raise Refused(f"{MOST} marks are on this photograph: take one back, or take another.")
        last = photograph.marks.aggregate(last=Max("number"))["last"] or 0
        return PhotographMark.objects.create(
            id=identity,
            photograph=photograph,
            kind=kind,
            number=last + 1,
            points=points,
            words=words,
            made_at=made_at,
            made_by=by,
            after_signing=photograph.fitting.is_signed,
        )


def _check(kind: str, points: list[list[float]]) -> None:
    wanted = 2 if kind == MarkKind.CHALK else 1
    inside = all(len(p) == 2 and all(0.0 <= share <= 1.0 for share in p) for p in points)
    if kind not in MarkKind.values or len(points) != wanted or not inside:
        raise Refused("This mark has no place in the picture: touch it again.")


def _as_sent(
    photograph: Photograph, kept: PhotographMark, kind: str, points: list[list[float]], words: str
) -> PhotographMark:
    if kept.photograph_id != photograph.pk:
        raise Refused("This mark is on another photograph: reload the page and touch it again.")
    if (kept.kind, kept.points, kept.words) != (kind, points, words):
        raise Refused(SENT_OTHERWISE)
    return kept


def check_can_change(mark: PhotographMark) -> None:
    """Refuse (Frozen) what was signed."""
    if mark.photograph.fitting.is_signed and not mark.after_signing:
        raise Frozen("The fitting is signed: put a further mark instead of taking one back.")


def take_back(mark: PhotographMark, *, by: User, at: dt.datetime) -> None:
    """Take a mark back; it stays on the record, and its number is not given again."""
    check_can_change(mark)
    if mark.removed_at is None:
        mark.removed_at, mark.removed_by = at, by
        mark.save(update_fields=["removed_at", "removed_by"])


def put_back(mark: PhotographMark) -> None:
    """Undo the taking back."""
    check_can_change(mark)
    mark.removed_at, mark.removed_by = None, None
    mark.save(update_fields=["removed_at", "removed_by"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A mark in the pixels of its picture; `label` is where its number stands."""

    mark: PhotographMark
    points: tuple[tuple[int, int], ...]
    label: tuple[int, int]
    disc: int

    @property
    def kind(self) -> str:
        return self.mark.kind

    @property
    def place(self) -> tuple[int, int]:
        return self.points[0]

    @property
    def dot(self) -> int:
        return max(3, self.disc // 3)

    @property
    def letters(self) -> int:
        """Height of the number."""
        return round(1.25 * self.disc)

    @property
    def box(self) -> tuple[int, int, int]:
        """Left and upper edge of what the number stands in, and its size."""
        return self.label[0] - self.disc, self.label[1] - self.disc, 2 * self.disc

    @property
    def end(self) -> tuple[int, int]:
        return self.points[-1]


def drawn(photograph: Photograph, marks: Iterable[PhotographMark]) -> list[Drawn]:
    """The standing marks as they are to be drawn, in the order of their numbers."""
    wide, high = photograph.width, photograph.height
    disc = max(6, round(DISC * max(wide, high)))
    found = []
    for mark in marks:
        if mark.removed_at is None:
            points = tuple((round(x * wide), round(y * high)) for x, y in mark.points)
            label = _label(points[0], disc, wide)
            found.append(Drawn(mark=mark, points=points, label=label, disc=disc))
    return found


def _label(place: tuple[int, int], disc: int, wide: int) -> tuple[int, int]:
    """Above the place and to its right; near an edge, where there is room."""
    x, y = place
    aside = 2 * disc if x + 4 * disc < wide else -2 * disc
    return x + aside, y - 2 * disc if y > 4 * disc else y + 2 * disc
