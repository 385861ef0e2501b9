"""A fitting and what is entered at it.

Entries and decisions carry an identity made by the device that took them, so that one sent twice
is kept once. Nothing entered is deleted: what is taken back says when and by whom.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.kept import Kept
from fittings.models.orders import Order, Stage
from patterns.history import History

if TYPE_CHECKING:
    from patterns.models import PatternVersion


PLACE: Final = (
    "Where it stands among the entries and decisions of the fitting, whatever clocks say."
)


class Side(models.TextChoices):
    BODY = "", "the coat"
    LEFT = "left", "wearer's left"
    RIGHT = "right", "wearer's right"


class Fitting(Kept):
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="fittings")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.BASTE)
    held_on = models.DateField()
    fitter = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="fittings_held"
    )
    worn_under = models.CharField(
        max_length=80, blank=True, help_text="Shirt, waistcoat: what is worn under the garment."
    )
    note = models.TextField(blank=True)
    pattern_version = models.ForeignKey(
        "patterns.PatternVersion",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="fittings",
        help_text="What the garment was cut to when the fitting was signed.",
    )
    signed_at = models.DateTimeField(null=True, blank=True, editable=False)
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="fittings_signed",
    )
    history = History()

    class Meta:
        ordering = ["-held_on", "-pk"]
        indexes = [
            # Today asks for the fittings of the day, and for those still to be signed: few. In
            # their whole order, or PostgreSQL goes through the keys of all of them.
            models.Index(fields=["-held_on", "-id"], name="fittings_newest_first"),
            models.Index(
                fields=["-held_on", "-id"],
                condition=models.Q(signed_at=None),
                name="fittings_to_sign",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_stage_display()}, {self.held_on:%-d %b %Y}"

    def get_absolute_url(self) -> str:
        return reverse("fitting", args=[self.pk])

    @property
    def is_signed(self) -> bool:
        return self.signed_at is not None

    @property
    def read_against(self) -> PatternVersion | None:
        """The pattern version the garment on the customer is cut to."""
        return self.pattern_version or self.order.pattern_version


class EntryKind(models.TextChoices):
    READING = "reading", "Reading"
    FINDING = "finding", "Finding of the garment"
    CHECK = "check", "Check"
    NOTE = "note", "Note"


class EntryQuerySet(models.QuerySet["Entry"]):
    def standing(self) -> Self:
        return self.filter(removed_at=None)


class Entry(models.Model):
    """One thing seen at a fitting. `data` of a reading is one reading of the suggestion document;
    of a finding, {"finding": id, "row": the catalogue's row as it stood, "answer", "amount_mm"};
    of a check, {"check": "balance", "state": "settled" or "open"}; of a note, {"text": ...}."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    fitting = models.ForeignKey(Fitting, on_delete=models.CASCADE, related_name="entries")
    side = models.CharField(max_length=5, choices=Side, blank=True, default="")
    kind = models.CharField(max_length=8, choices=EntryKind, default=EntryKind.READING)
    data = models.JSONField()
    made_at = models.DateTimeField(help_text="By the clock of the device.")
    received_at = models.DateTimeField(auto_now_add=True)
    place = models.PositiveIntegerField(default=0, editable=False, help_text=PLACE)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="entries_made"
    )
    after_signing = models.BooleanField(default=False)
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="entries_removed",
    )

    ORDER: Final = ("place", "made_at", "received_at", "pk")
    objects = EntryQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["place", "made_at", "received_at", "pk"]
        verbose_name_plural = "entries"

    def __str__(self) -> str:
        return f"{self.get_kind_display()} at fitting {self.fitting_id}"


class Verdict(models.TextChoices):
    ACCEPTED = "accepted", "Accepted"
    AMENDED = "amended", "Amended"
    REFUSED = "refused", "Refused"


class DecisionQuerySet(models.QuerySet["Decision"]):
    def standing(self) -> Self:
        return self.filter(withdrawn_at=None)


class Decision(models.Model):
    """What the fitter said to one proposal. `key` names the proposal within the fitting and side;
    `proposal` is the correction as it was shown, `outcome` the one to be worked (None: refused)."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    fitting = models.ForeignKey(Fitting, on_delete=models.CASCADE, related_name="decisions")
    side = models.CharField(max_length=5, choices=Side, blank=True, default="")
    key = models.CharField(max_length=60)
    proposal = models.JSONField()
    outcome = models.JSONField(null=True, blank=True)
    verdict = models.CharField(max_length=8, choices=Verdict)
    amount_mm = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    reason = models.CharField(max_length=300, blank=True)
    decided_at = models.DateTimeField()
    place = models.PositiveIntegerField(default=0, editable=False, help_text=PLACE)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="decisions_made"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    beside = models.ForeignKey(
        "self",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="contested_by",
        help_text="The decision that stood and was not seen by whoever made this one: both are"
        " shown until the fitter chooses.",
    )

    # Those made unseen of this one; filled by `fittings.fitting_room.contested.decisions_shown`.
    unseen: Sequence[Decision] = ()

    objects = DecisionQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["place", "decided_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["fitting", "side", "key"],
                condition=models.Q(withdrawn_at=None),
                name="one_standing_decision",
            )
        ]

    def __str__(self) -> str:
        return f"{self.key}: {self.get_verdict_display()}"
