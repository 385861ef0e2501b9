"""What is seen of a sleeve, by its name in the trade."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from fittings.forms.amounts import AmountField, ListField
from fittings.forms.reading_form import ReadingForm
from patterns.rules.catalogue import SLEEVE_FINDINGS, Finding

GROUPS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Pitch", ("pitch_too_far_back", "pitch_too_far_forward", "one_good_one_not")),
    (
        "Head",
        (
            "crown_too_high",
            "crown_too_low",
            "front_of_head_shallow",
            "too_much_ease",
            "too_little_ease",
            "under_sleeve_head_full",
        ),
    ),
    (
        "Sleeve and elbow",
        (
            "sleeve_narrow",
            "sleeve_wide",
            "hindarm_long",
            "hindarm_short",
            "forearm_tight",
            "elbow_points_in",
            "elbow_points_out_too_far",
            "forearm_seam_shows_in_front",
            "cuff_swings_in",
            "sleeve_long",
            "sleeve_short",
        ),
    ),
    (
        "Armhole",
        (
            "armhole_too_low",
            "armhole_too_high",
            "armhole_too_far_back",
            "armhole_too_far_forward",
        ),
    ),
)


class FindingForm(ReadingForm):
    slug, title, amount = "finding", "Something else seen", "by"
    how = "What is seen, by its name in the trade."

    finding = ListField(
        "forms/findings.html",
        choices=[(finding.id, finding.name.capitalize()) for finding in SLEEVE_FINDINGS],
        label="What is seen",
        error_messages={"required": "Choose what is seen."},
    )
    by = AmountField(
        most_mm=300,
        required=False,
        label="Amount read",
        help_text="Left empty: the usual amount that stands beside what is seen.",
    )
    rows: Sequence[Finding] = SLEEVE_FINDINGS

    def offer(self, rows: Sequence[Finding]) -> None:
        self.rows = rows

    @property
    def drawn_from(self) -> tuple[Any, ...] | None:
        return (*found, *self.rows) if (found := super().drawn_from) else None

    @property
    def groups(self) -> list[tuple[str, list[Finding]]]:
        """What is offered, under the part of the sleeve it is seen at."""
        known = {row.id: row for row in self.rows}
        offered = [(name, [known[id_] for id_ in ids if id_ in known]) for name, ids in GROUPS]
        return [(name, rows) for name, rows in offered if rows]

    def reading(self) -> dict[str, Any]:
        seen = {"what": "finding", "finding": self.cleaned_data["finding"]}
        return {**seen, "amount_mm": self.size()} if self.cleaned_data["by"] else seen
