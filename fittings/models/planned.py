"""A fitting that is planned, and the secret address of somebody's calendar."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse

from fittings.models.fittings import Fitting
from fittings.models.kept import Kept
from fittings.models.orders import Order, Stage
from patterns.history import History


class PlanState(models.TextChoices):
    PLANNED = "planned", "Planned"
    KEPT = "kept", "Kept"
    CANCELLED = "cancelled", "Cancelled"


class PlannedFittingQuerySet(models.QuerySet["PlannedFitting"]):
    def reachable(self) -> Self:
        return self.filter(order__customer__erased_on=None)

    def waiting(self) -> Self:
        return self.filter(state=PlanState.PLANNED)

    def unkept(self) -> Self:
        """Those that wait or were cancelled, the latest first: a kept one is a fitting."""
        return self.exclude(state=PlanState.KEPT).order_by("-starts_at", "-pk")

    def standing(self) -> Self:
        return self.filter(state__in=[PlanState.PLANNED, PlanState.KEPT])

    def between(self, start: dt.datetime, end: dt.datetime) -> Self:
        """Those that start at `start` or later and before `end`, both aware."""
        return self.filter(starts_at__gte=start, starts_at__lt=end)


class PlannedFitting(Kept):
    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="planned_fittings")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.BASTE)
    starts_at = models.DateTimeField()
    minutes = models.PositiveSmallIntegerField(
        default=45, validators=[MinValueValidator(5), MaxValueValidator(480)]
    )
    with_whom = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="fittings_planned"
    )
    state = models.CharField(max_length=9, choices=PlanState, default=PlanState.PLANNED)
    cancelled_because = models.CharField(max_length=200, blank=True, editable=False)
    # Not one to one: what was planned twice by mistake becomes one fitting.
    fitting = models.ForeignKey(
        Fitting,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        editable=False,
        related_name="planned_as",
        help_text="What it became.",
    )

    objects = PlannedFittingQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["starts_at", "pk"]
        indexes = [
            models.Index(fields=["starts_at"]),
            # What was planned and never held: few, however long the shop has been open.
            models.Index(
                fields=["starts_at"], condition=Q(state="planned"), name="planned_and_waiting"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_stage_display()} of {self.order}"

    def get_absolute_url(self) -> str:
        return reverse("planned-fitting", args=[self.pk])

    @property
    def is_waiting(self) -> bool:
        return self.state == PlanState.PLANNED

    @property
    def ends_at(self) -> dt.datetime:
        return self.starts_at + dt.timedelta(minutes=self.minutes)


class CalendarFeed(models.Model):
    """The secret in the address is kept as its digest only. `name` ends the identity of each
    event; it stays when the address is renewed, so that a calendar knows its events again."""

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="calendar_feed"
    )
    name = models.UUIDField(default=uuid.uuid4, editable=False)
    digest = models.CharField(max_length=64, unique=True, null=True, editable=False)
    made_at = models.DateTimeField(null=True, editable=False)

    def __str__(self) -> str:
        return f"calendar of {self.user}"
