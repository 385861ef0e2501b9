"""Who was erased on request, without a name: what a restored backup must forget again."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone


class Erasure(models.Model):
    """`customer_key` and `number` are those of the row that stays, emptied, in the record."""

    customer_key = models.PositiveBigIntegerField(unique=True)
    number = models.CharField(max_length=12)
    erased_on = models.DateField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="erasures",
        help_text="Who did it; None: at the command line, or again after a restore.",
    )

    class Meta:
        ordering = ["-erased_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.number} erased {self.erased_on:%-d %b %Y}"


class Destroyed(models.Model):
    """Destroyed of a customer who stays: photographs or measures, on request or past their period.

    Only ever added to; a restored backup destroys the same again.
    """

    customer_key = models.PositiveBigIntegerField(db_index=True)
    number = models.CharField(max_length=12)
    what = models.CharField(max_length=11)
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
    )

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "destroyed"

    def __str__(self) -> str:
        return f"{self.what} of {self.number}, {timezone.localdate(self.at):%-d %b %Y}"
