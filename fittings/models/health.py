"""Notes of health that matter for cutting and fitting, apart from all other notes."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models

from fittings.models.kept import Kept
from fittings.models.people import Customer
from patterns.history import History


class HealthNoteQuerySet(models.QuerySet["HealthNote"]):
    def consented(self) -> Self:
        """Those that may be opened: the customer agrees to them, and is not erased."""
        return self.filter(
            customer__health_consent_on__isnull=False, customer__erased_on__isnull=True
        )


class HealthNote(Kept):
    """One thing of health that the fitting must heed, such as a pacemaker or a frozen shoulder.

    Shown on a page of its own only, which somebody has to open. The history says who wrote and
    changed it and when, never the words: deleted, they are nowhere any more.
    """

    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="health_notes")
    words = models.CharField(
        max_length=300, help_text="Only what the fitting must heed, in the customer's own words."
    )
    noted_on = models.DateField()
    noted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)

    objects = HealthNoteQuerySet.as_manager()
    history = History(excluded_fields=["words"])

    class Meta:
        ordering = ["-noted_on", "-pk"]

    def __str__(self) -> str:
        return "a note of health"
