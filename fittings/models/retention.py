"""For how long the shop keeps what it knows of a person, and who is kept longer and why."""

from __future__ import annotations

from typing import Any, Final

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models

from fittings.models.kept import Kept
from fittings.models.people import Customer

ONLY_ROW: Final = 1


class KeptKind(models.TextChoices):
    CONTACT = "contact", "the customer: name and how to reach"
    MEASURES = "measures", "measures and notes of the figure"
    PHOTOGRAPHS = "photographs", "photographs"


def _years(kind: KeptKind) -> Any:
    return models.PositiveSmallIntegerField(
        f"years to keep {kind.label}",
        null=True,
        blank=True,
        validators=[MinValueValidator(1)],
        help_text="Years after the last order; empty: kept until somebody erases it.",
    )


class RetentionPeriods(Kept):
    """The one row of the shop's periods: years after the last order, None while there is none."""

    contact_years = _years(KeptKind.CONTACT)
    measures_years = _years(KeptKind.MEASURES)
    photographs_years = _years(KeptKind.PHOTOGRAPHS)

    class Meta:
        verbose_name_plural = "retention periods"

    def __str__(self) -> str:
        return "the periods"

    @classmethod
    def of_shop(cls) -> RetentionPeriods:
        return cls.objects.get_or_create(pk=ONLY_ROW)[0]

    def years(self, kind: KeptKind) -> int | None:
        found: int | None = getattr(self, f"{kind.value}_years")
        return found


class KeptLonger(models.Model):
    """Said by the owner of what was due: kept until a day, for a reason. The newest counts."""

    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="kept_longer")
    kind = models.CharField(max_length=11, choices=KeptKind)
    until = models.DateField()
    reason = models.CharField(max_length=120)
    said_at = models.DateTimeField()
    said_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)

    class Meta:
        ordering = ["-said_at", "-pk"]
        verbose_name_plural = "kept longer"
        indexes = [models.Index(fields=["customer", "kind", "until"])]

    def __str__(self) -> str:
        return f"kept until {self.until:%-d %b %Y}"
