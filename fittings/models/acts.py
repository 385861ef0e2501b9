"""What was done to something kept already, under an identity made by the device: sent again, known.

An entry or a photograph carries its own identity. Undoing, accepting all at once, a consent, or a
mark taken back makes no row of its own that could, so what was done is written down here.
"""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from fittings.models.people import Customer


class Act(models.Model):
    """`digest` is of all that was sent; `said` is what was answered the first time."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="acts")
    kind = models.CharField(max_length=40)
    digest = models.CharField(max_length=64)
    said = models.CharField(max_length=500)
    made_at = models.DateTimeField(help_text="By the clock of the device.")
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="acts_made"
    )

    class Meta:
        ordering = ["made_at", "pk"]
        indexes = [models.Index(fields=["customer", "kind", "made_at"])]

    def __str__(self) -> str:
        return self.said
