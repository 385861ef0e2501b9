"""Dated measures of a customer, each repeat kept as it was entered, and how the arms hang."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.kept import Kept
from fittings.models.people import Customer
from patterns.history import History


class MeasureName(models.TextChoices):
    """Names as in the ISO 8559:1989 list, with the few a coat cutter adds."""

    STATURE = "stature", "Height (stature)"
    NECK_GIRTH = "neck_girth", "Neck girth"
    CHEST_GIRTH = "chest_girth", "Chest girth"
    WAIST_GIRTH = "waist_girth", "Waist girth"
    HIP_GIRTH = "hip_girth", "Hip girth"
    SHOULDER_LENGTH = "shoulder_length", "Shoulder length"
    BACK_WIDTH = "back_width", "Back width"
    BACK_WAIST_LENGTH = "back_waist_length", "Back waist length"
    SCYE_DEPTH = "scye_depth", "Scye depth"
    ARMSCYE_GIRTH = "armscye_girth", "Armscye girth"
    UPPER_ARM_GIRTH = "upper_arm_girth", "Upper-arm girth"
    ELBOW_GIRTH = "elbow_girth", "Elbow girth"
    WRIST_GIRTH = "wrist_girth", "Wrist girth"
    UPPER_ARM_LENGTH = "upper_arm_length", "Upper-arm length"
    ARM_LENGTH = "arm_length", "Arm length"
    C7_TO_WRIST = "c7_to_wrist", "Seventh neck bone to wrist"
    SLEEVE_OUTSEAM = "sleeve_outseam", "Sleeve outseam"
    INSIDE_LEG = "inside_leg", "Inside leg"
    OUTSIDE_LEG = "outside_leg", "Outside leg"


class MeasurementSet(Kept):
    customer = models.ForeignKey(
        Customer, on_delete=models.CASCADE, related_name="measurement_sets"
    )
    taken_on = models.DateField()
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    worn_over = models.CharField(
        max_length=80, blank=True, help_text="Shirt, shoes, coat: what was worn when measured."
    )
    note = models.TextField(blank=True)
    history = History()

    class Meta:
        ordering = ["-taken_on", "-pk"]

    def __str__(self) -> str:
        return f"measures of {self.taken_on:%-d %b %Y}"

    def get_absolute_url(self) -> str:
        return reverse("measures", args=[self.pk])


class Measurement(models.Model):
    """One reading of one measure; a second reading of the same is repeat 2, and both stay."""

    measurement_set = models.ForeignKey(
        MeasurementSet, on_delete=models.CASCADE, related_name="measurements"
    )
    name = models.CharField(max_length=20, choices=MeasureName)
    repeat = models.PositiveSmallIntegerField(default=1)
    value_mm = models.DecimalField(max_digits=8, decimal_places=3)
    as_entered = models.CharField(max_length=24)
    unit = models.CharField(max_length=2)
    history = History()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["measurement_set", "name", "repeat"], name="one_value_per_repeat"
            ),
            models.CheckConstraint(condition=models.Q(value_mm__gt=0), name="measure_above_zero"),
        ]

    def __str__(self) -> str:
        return f"{self.get_name_display()} {self.as_entered}"


class ArmCarriage(Kept):
    """How one arm hangs at rest. Positive: forward hang, elbow turned outward, elbow bent."""

    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="arm_carriages")
    side = models.CharField(
        max_length=5, choices=[("left", "wearer's left"), ("right", "wearer's right")]
    )
    observed_on = models.DateField()
    observed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    forward_hang_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    inward_turn_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    elbow_bend_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    length_mm = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    history = History()

    class Meta:
        ordering = ["-observed_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_side_display()} arm, {self.observed_on:%-d %b %Y}"
