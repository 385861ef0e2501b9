"""Long work that somebody asked for: made beside the pages, fetched by whoever asked."""

from __future__ import annotations

import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.books import CustomerBook
from fittings.models.people import Customer


class ErrandKind(models.TextChoices):
    MONTH = "month", "The month on paper"
    RECORD = "record", "The whole record of a customer"
    BOOK = "book", "A customer book"


class ErrandState(models.TextChoices):
    WAITING = "waiting", "waits"
    WORKING = "working", "is being made"
    DONE = "done", "is made"
    FAILED = "failed", "could not be made"


UNDER_WAY = (ErrandState.WAITING, ErrandState.WORKING)


class ErrandQuerySet(models.QuerySet["Errand"]):
    def under_way(self) -> Self:
        return self.filter(state__in=UNDER_WAY)

    def ended(self) -> Self:
        return self.exclude(state__in=UNDER_WAY)


class Errand(models.Model):
    """`subject` tells one from another of its kind; while one is under way it is asked for once.

    `identity` is the form's own: sent twice, it is one errand. `tries` counts how often it was
    begun, and names whose work counts: a worker taken for dead that goes on changes nothing.
    `fetched_at`: when what holds somebody's data was first fetched whole.
    `beat_at` is the last sign of life of that work. `task` is its row in the queue.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(max_length=8, choices=ErrandKind)
    subject = models.CharField(max_length=80)
    identity = models.CharField(max_length=40)
    said = models.JSONField(default=dict)
    customer = models.ForeignKey(
        Customer, on_delete=models.CASCADE, null=True, blank=True, related_name="errands"
    )
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="errands"
    )
    asked_at = models.DateTimeField()
    state = models.CharField(max_length=7, choices=ErrandState, default=ErrandState.WAITING)
    task = models.UUIDField(default=uuid.uuid4)
    worker = models.CharField(max_length=64, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    beat_at = models.DateTimeField()
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    ended_at = models.DateTimeField(null=True, blank=True)
    file = models.CharField(max_length=80, blank=True)
    fetched_at = models.DateTimeField(null=True, blank=True)
    book = models.ForeignKey(
        CustomerBook, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    failure = models.CharField(max_length=300, blank=True)

    objects = ErrandQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["asked_by", "identity"], name="one_errand_per_form_of_somebody"
            ),
            models.UniqueConstraint(
                fields=["asked_by", "kind", "subject"],
                condition=models.Q(state__in=["waiting", "working"]),
                name="one_errand_under_way_per_subject",
            ),
        ]
        indexes = [models.Index(fields=["state", "beat_at"])]

    def __str__(self) -> str:
        return f"errand {self.kind}"

    def get_absolute_url(self) -> str:
        return reverse("errand", args=[self.pk])

    @property
    def is_under_way(self) -> bool:
        return self.state in UNDER_WAY


class AtWork(models.Model):
    """A worker that runs, and when it last said so; its row goes with it."""

    name = models.CharField(max_length=64, primary_key=True)
    seen_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name
