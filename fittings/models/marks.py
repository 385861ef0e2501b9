"""Marks put on a photograph: pins, chalk lines and notes, kept as data over the picture.

The picture itself is never drawn on. Places are shares of its width and height, so that they stand
at every size it is shown at. A mark carries an identity made by the device and is taken back, not
deleted.
"""

from __future__ import annotations

import uuid
from typing import Self

from django.conf import settings
from django.db import models

from fittings.models.photographs import Photograph
from patterns.history import History


class MarkKind(models.TextChoices):
    PIN = "pin", "Pin"
    CHALK = "chalk", "Chalk line"
    NOTE = "note", "Note"


class PhotographMarkQuerySet(models.QuerySet["PhotographMark"]):
    def standing(self) -> Self:
        return self.filter(removed_at=None)


class PhotographMark(models.Model):
    """`points`: [[x, y], ...], x from the picture's left (0) to its right (1), y from the top down;
    one for a pin or a note, two for a chalk line. `number` is what the mark is called by."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    photograph = models.ForeignKey(Photograph, on_delete=models.CASCADE, related_name="marks")
    kind = models.CharField(max_length=5, choices=MarkKind, default=MarkKind.PIN)
    number = models.PositiveSmallIntegerField()
    points = models.JSONField()
    words = models.CharField(max_length=120, blank=True)
    made_at = models.DateTimeField(help_text="By the clock of the device.")
    received_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="photograph_marks_made"
    )
    after_signing = models.BooleanField(default=False)
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="photograph_marks_removed",
    )

    objects = PhotographMarkQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["photograph", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["photograph", "number"], name="one_mark_of_a_number_on_a_photograph"
            )
        ]

    def __str__(self) -> str:
        said = f": {self.words}" if self.words else ""
        return f"{self.get_kind_display()} {self.number}{said}"
