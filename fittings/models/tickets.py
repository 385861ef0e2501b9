"""The work ticket: what was issued stays as it was issued; a reissue is a new revision."""

from __future__ import annotations

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.db.models.fields.json import KT
from django.urls import reverse

from fittings.models.fittings import Fitting, Side
from fittings.models.orders import Order
from fittings.refusals import Frozen
from patterns.history import History


class TicketQuerySet(models.QuerySet["Ticket"]):
    def newest(self) -> Self:
        """Without those that a later revision supersedes."""
        # Not as a join to nothing: PostgreSQL takes that for one row, and then sorts all papers.
        later = Ticket.objects.filter(supersedes=OuterRef("pk"))
        return self.filter(~Exists(later))


class Ticket(models.Model):
    """`content` is all that the paper says, kept as data: the paper can be drawn again from it."""

    number = models.CharField(max_length=12, editable=False)
    revision = models.PositiveSmallIntegerField(default=1)
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="tickets")
    fitting = models.ForeignKey(Fitting, on_delete=models.PROTECT, related_name="tickets")
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    content = models.JSONField()
    reason = models.CharField(max_length=300, blank=True, help_text="Why it was reissued.")
    supersedes = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="superseded_by"
    )
    pattern_before = models.ForeignKey(
        "patterns.PatternVersion",
        on_delete=models.PROTECT,
        null=True,
        related_name="tickets_from",
    )
    pattern_after = models.ForeignKey(
        "patterns.PatternVersion",
        on_delete=models.PROTECT,
        null=True,
        related_name="tickets_causing",
    )

    objects = TicketQuerySet.as_manager()

    class Meta:
        ordering = ["-issued_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["number", "revision"], name="one_paper_per_revision")
        ]
        indexes = [models.Index(fields=["-issued_at", "-id"], name="tickets_newest_first")]

    def __str__(self) -> str:
        return f"{self.number} revision {self.revision}"

    def get_absolute_url(self) -> str:
        return reverse("ticket", args=[self.number, self.revision])

    @property
    def last_content(self) -> dict[str, Any] | None:
        """What the paper said that this one supersedes."""
        if self.supersedes is None:
            return None
        content: dict[str, Any] = self.supersedes.content
        return content

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk:
            raise Frozen("An issued ticket is not changed: reissue it as a new revision.")
        super().save(*args, **kwargs)


class TicketLine(models.Model):
    """One line of work: its words are fixed at issue, who did and who checked it comes later."""

    ticket = models.ForeignKey(Ticket, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    side = models.CharField(max_length=5, choices=Side, blank=True, default="")
    content = models.JSONField()
    # What minutes are reckoned by, beside the content: summing up the bench reads no papers.
    operation = models.GeneratedField(
        expression=KT("content__operation"), output_field=models.TextField(), db_persist=True
    )
    at_check = models.GeneratedField(
        expression=KT("content__check"), output_field=models.TextField(), db_persist=True
    )
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="lines_done",
    )
    minutes = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="How long it took, where who did it said so."
    )
    checked_at = models.DateTimeField(null=True, blank=True)
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="lines_checked",
    )
    history = History(excluded_fields=["operation", "at_check"])

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["ticket", "position"], name="one_line_per_position")
        ]
        indexes = [
            # What is still to be made or checked: few, however many papers there are.
            models.Index(fields=["ticket"], condition=Q(checked_at=None), name="lines_to_check"),
            # Summing up what was recorded reads this and no line.
            models.Index(
                fields=["operation", "at_check", "minutes"],
                condition=Q(minutes__isnull=False),
                name="lines_recorded",
            ),
        ]

    def __str__(self) -> str:
        return f"line {self.position}"
