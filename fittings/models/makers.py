"""Who makes: a person of the shop or an outside hand, and how their papers are to be written."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from fittings.models.kept import Kept
from patterns.history import History


class Language(models.TextChoices):
    ENGLISH = "en", "English"
    ITALIAN = "it", "Italiano"
    TURKISH = "tr", "Türkçe"
    SPANISH = "es", "Español"


class PaperUnits(models.TextChoices):
    CM = "cm", "Centimetres"
    MM = "mm", "Millimetres"
    INCH = "in", "Inches with eighths"
    BOTH = "both", "Centimetres and inches"


class PaperSize(models.TextChoices):
    A4 = "A4", "A4"
    A5 = "A5", "A5"


class MakerQuerySet(models.QuerySet["Maker"]):
    def in_use(self) -> Self:
        return self.filter(ended_on=None)

    def outside(self) -> Self:
        """Those who do not sign in: an order names them itself."""
        return self.filter(person=None)


class LanguageCheck(Kept):
    """Who read the papers of a language and found its words right; without one they are a draft."""

    language = models.CharField(max_length=5, choices=Language, unique=True)
    checked_by = models.CharField("checked by", max_length=80, blank=True)
    checked_on = models.DateField("checked on", null=True, blank=True)

    history = History()

    class Meta:
        ordering = ["language"]

    def __str__(self) -> str:
        return str(self.get_language_display())

    @property
    def is_checked(self) -> bool:
        return bool(self.checked_by and self.checked_on)


class Maker(Kept):
    """How the papers of one maker are written. `person`: who signs in; None: an outside maker."""

    name = models.CharField(max_length=80)
    person = models.OneToOneField(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="maker",
        help_text="Who this is among those who sign in. Left empty: an outside maker.",
    )
    language = models.CharField(
        "language of the papers", max_length=5, choices=Language, default=Language.ENGLISH
    )
    units = models.CharField(
        "units on the papers", max_length=4, choices=PaperUnits, default=PaperUnits.CM
    )
    paper = models.CharField("paper", max_length=2, choices=PaperSize, default=PaperSize.A4)
    ended_on = models.DateField(
        "no longer makes for us since",
        null=True,
        blank=True,
        help_text="No new order is given to them; what they made stays theirs.",
    )

    objects = MakerQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"], condition=Q(person=None), name="one_outside_maker_per_name"
            )
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("maker-edit", args=[self.pk])
