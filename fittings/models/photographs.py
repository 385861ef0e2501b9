"""Photographs taken at a fitting.

Like an entry, each carries an identity made by the device, so that one sent twice is kept once, and
none is deleted: what is taken back says when and by whom. The files are named by what they hold
(`fittings.photographs.keeping`); a photograph that is turned gets new files, and the history still
names the old ones.
"""

from __future__ import annotations

import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.fittings import Fitting, Side
from fittings.models.people import Customer
from patterns.history import History


class PhotographView(models.TextChoices):
    """From where the wearer was photographed."""

    FRONT = "front", "from the front"
    BACK = "back", "from the back"
    LEFT = "left", "from the wearer's left"
    RIGHT = "right", "from the wearer's right"
    DETAIL = "detail", "a detail"


class PhotographQuerySet(models.QuerySet["Photograph"]):
    def standing(self) -> Self:
        return self.filter(removed_at=None)

    def consented(self) -> Self:
        """Those that may be looked at: the customer agrees to them, and is not erased."""
        return self.filter(
            fitting__order__customer__fitting_photo_consent_on__isnull=False,
            fitting__order__customer__erased_on=None,
        )

    def for_workroom(self) -> Self:
        return self.filter(to_workroom=True)


class Photograph(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    fitting = models.ForeignKey(Fitting, on_delete=models.CASCADE, related_name="photographs")
    side = models.CharField(max_length=5, choices=Side, blank=True, default="")
    view = models.CharField(
        max_length=6, choices=PhotographView, default=PhotographView.FRONT, verbose_name="seen"
    )
    note = models.CharField(max_length=120, blank=True, help_text="Printed under it on the ticket.")
    to_workroom = models.BooleanField(default=False, help_text="Goes onto the ticket.")
    taken_at = models.DateTimeField(help_text="By the clock of the device.")
    received_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="photographs_made"
    )
    after_signing = models.BooleanField(default=False)
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="photographs_removed",
    )
    sent_sha256 = models.CharField(
        max_length=64, editable=False, help_text="Of the file as it was sent."
    )
    sha256 = models.CharField(max_length=64, editable=False, help_text="Of the file as it is kept.")
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)

    objects = PhotographQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["taken_at", "received_at", "pk"]

    def __str__(self) -> str:
        seen = self.get_view_display()
        return seen if self.side == self.view else f"{self.side_words}, {seen}"

    def get_absolute_url(self) -> str:
        return reverse("photograph", args=[self.pk])

    @property
    def side_words(self) -> str:
        """The side in words; a photograph of no one side shows the whole garment."""
        return str(Side(self.side).label) if self.side else "the garment"

    @property
    def customer(self) -> Customer:
        return self.fitting.order.customer
