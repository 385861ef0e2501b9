"""The customer, what is noted of the figure, and what the customer agreed to."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.kept import Kept, Numbered
from patterns.history import History


class CustomerQuerySet(models.QuerySet["Customer"]):
    def present(self) -> Self:
        return self.filter(erased_on=None)


class Population(models.TextChoices):
    NONE = "", "No comparison"
    MEN = "men", "Men's survey figures"
    WOMEN = "women", "Women's survey figures"


class Customer(Numbered, Kept):
    KIND, PREFIX = "customer", "C"

    given_name = models.CharField(max_length=80)
    family_name = models.CharField(max_length=80)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    address = models.TextField(blank=True)
    notes = models.TextField(blank=True, help_text="Neutral words. No health matters here.")
    compare_with = models.CharField(
        max_length=5,
        choices=Population,
        blank=True,
        default="",
        help_text="Population figures that new measures are compared with.",
    )
    record_consent_on = models.DateField("agreed to the record on", null=True, blank=True)
    fitting_photo_consent_on = models.DateField(
        "agreed to photographs to fit by on", null=True, blank=True
    )
    publish_photo_consent_on = models.DateField(
        "agreed to photographs being published on", null=True, blank=True
    )
    health_consent_on = models.DateField(
        "agreed to notes of health on", null=True, blank=True, editable=False
    )
    erased_on = models.DateField(null=True, blank=True, editable=False)

    objects = CustomerQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["family_name", "given_name", "pk"]
        indexes = [models.Index(fields=["family_name", "given_name"])]

    def __str__(self) -> str:
        return f"{self.given_name} {self.family_name}"

    def get_absolute_url(self) -> str:
        return reverse("customer", args=[self.pk])


class FigureWord(models.TextChoices):
    ERECT = "erect", "Erect"
    STOOPING = "stooping", "Stooping"
    HEAD_FORWARD = "head_forward", "Head forward"
    SQUARE_SHOULDERS = "square_shoulders", "Square shoulders"
    SLOPING_SHOULDERS = "sloping_shoulders", "Sloping shoulders"
    DROPPED_SHOULDER = "dropped_shoulder", "Dropped shoulder"
    FORWARD_SHOULDERS = "forward_shoulders", "Forward shoulders"
    ROUND_BACK = "round_back", "Round back"
    PROMINENT_BLADES = "prominent_blades", "Prominent blades"
    FLAT_BACK = "flat_back", "Flat back"
    HOLLOW_BACK = "hollow_back", "Hollow back"
    PROMINENT_CHEST = "prominent_chest", "Prominent chest"
    PROMINENT_SEAT = "prominent_seat", "Prominent seat"
    FLAT_SEAT = "flat_seat", "Flat seat"
    CORPULENT = "corpulent", "Corpulent"
    BOW_LEGS = "bow_legs", "Bow legs"
    KNOCK_KNEES = "knock_knees", "Knock knees"
    LONG_ARM = "long_arm", "Long arm"
    ARM_FORWARD = "arm_forward", "Arm forward"
    ARM_BACK = "arm_back", "Arm back"


class Degree(models.IntegerChoices):
    SLIGHT = 1, "slight"
    CLEAR = 2, "clear"
    STRONG = 3, "strong"


class BodySide(models.TextChoices):
    BOTH = "", "both, or the whole figure"
    LEFT = "left", "wearer's left"
    RIGHT = "right", "wearer's right"


class FigureNote(models.Model):
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="figure_notes")
    word = models.CharField(max_length=20, choices=FigureWord)
    side = models.CharField(max_length=5, choices=BodySide, blank=True, default="")
    degree = models.PositiveSmallIntegerField(choices=Degree, default=Degree.CLEAR)
    noted_on = models.DateField()
    noted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    history = History()

    class Meta:
        ordering = ["word", "side", "pk"]

    def __str__(self) -> str:
        side = f", {self.get_side_display()}" if self.side else ""
        return f"{self.get_word_display()}{side}, {self.get_degree_display()}"
