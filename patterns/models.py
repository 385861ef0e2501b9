"""A pattern and its versions: every one is kept, and knows which one it came from."""

from __future__ import annotations

from typing import Any, Self

from django.conf import settings
from django.db import models, transaction
from django.db.models import F, Q
from django.urls import reverse

from patterns.history import History


class PatternQuerySet(models.QuerySet["Pattern"]):
    def in_use(self) -> Self:
        return self.filter(retired_on=None)


class Pattern(models.Model):
    number = models.CharField(max_length=12, unique=True, null=True, editable=False)
    name = models.CharField(max_length=120)
    block = models.CharField(
        max_length=80, blank=True, help_text="The cutter's block it was drafted from."
    )
    branched_from = models.ForeignKey(
        "PatternVersion",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="branches",
    )
    made_on = models.DateField()
    retired_on = models.DateField(null=True, blank=True)
    retired_reason = models.CharField(max_length=300, blank=True)

    objects = PatternQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["-made_on", "-pk"]
        indexes = [models.Index(fields=["-made_on", "-id"], name="patterns_newest_first")]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("pattern", args=[self.pk])

    def save(self, *args: Any, **kwargs: Any) -> None:
        with transaction.atomic():
            super().save(*args, **kwargs)
            if self.number is None:
                self.number = f"P-{self.pk:04d}"
                super().save(update_fields=["number"])


class PatternVersion(models.Model):
    """`sides` holds for "left" and "right" the armhole and the sleeve in mm, in the form of the
    suggestion document; `changes` the corrections that made it out of its parent, as data."""

    pattern = models.ForeignKey(Pattern, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveSmallIntegerField()
    parent = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="children"
    )
    sides = models.JSONField()
    changes = models.JSONField(default=list)
    note = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)

    class Meta:
        ordering = ["-number"]
        constraints = [
            models.UniqueConstraint(fields=["pattern", "number"], name="one_version_per_number"),
            models.CheckConstraint(
                condition=Q(parent=None) | ~Q(parent=F("id")), name="not_its_own_parent"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pattern.number} version {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("pattern-version", args=[self.pattern_id, self.number])

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk:
            raise ValueError("A pattern version is kept as it was made: make a new one.")
        super().save(*args, **kwargs)
