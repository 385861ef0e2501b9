"""What a garment knows and its pattern does not, until somebody settles which is right."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from fittings.models.fittings import Side
from fittings.models.kept import Kept
from fittings.models.orders import Order, Stage
from fittings.models.tickets import TicketLine
from patterns.history import History


class Cause(models.TextChoices):
    NOT_ON_PATTERN = "ticket", "ticketed for the garment alone"
    OTHER_AMOUNT = "amount", "done with another amount than ticketed"
    OTHER_INLAY = "inlay", "another inlay used than was reckoned"
    BY_HAND = "hand", "noted by hand"


class Settled(models.TextChoices):
    TAKEN_OVER = "taken", "Taken over into the pattern"
    DECIDED_AGAINST = "against", "Decided against"


class GarmentOnlyQuerySet(models.QuerySet["GarmentOnly"]):
    def unsettled(self) -> Self:
        """Also what stands on a paper and nobody has ticked yet."""
        return self.filter(settled="")

    def open(self) -> Self:
        """What the garment really has. Where nobody ticked a line, it counts once the garment is
        delivered: a hand outside the shop ticks nothing."""
        waiting = Q(cause=Cause.NOT_ON_PATTERN, line__done_at=None)
        return self.unsettled().exclude(waiting & ~Q(order__stage=Stage.DELIVERED))

    def told(self) -> Self:
        """With what a list of them shows."""
        return self.select_related(
            "order", "line__ticket", "flagged_by", "settled_by", "settled_in__pattern"
        )


class GarmentOnly(Kept):
    """An alteration of one garment that stands on no pattern. `amount_mm` has no sign: `what` says
    the way in words ("let out"). One that is settled says how, and by whom."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="garment_only")
    line = models.ForeignKey(
        TicketLine, on_delete=models.CASCADE, null=True, blank=True, related_name="garment_only"
    )
    cause = models.CharField(max_length=6, choices=Cause, default=Cause.BY_HAND)
    side = models.CharField(max_length=5, choices=Side, blank=True, default="")
    what = models.CharField(max_length=200)
    place = models.CharField(max_length=120, blank=True)
    amount_mm = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    flagged_at = models.DateTimeField()
    flagged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="garment_only_flagged"
    )
    settled = models.CharField(max_length=7, choices=Settled, blank=True, default="")
    settled_in = models.ForeignKey(
        "patterns.PatternVersion",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="garment_only_taken_over",
    )
    settled_reason = models.CharField(max_length=300, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="garment_only_settled",
    )

    objects = GarmentOnlyQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["-flagged_at", "-pk"]
        verbose_name_plural = "garment only"
        constraints = [
            models.UniqueConstraint(
                fields=["line", "cause", "place"],
                condition=~Q(cause=Cause.BY_HAND),
                name="one_flag_per_line_cause_and_place",
            ),
            models.CheckConstraint(
                condition=Q(settled="") | Q(settled_at__isnull=False),
                name="settled_says_when",
            ),
        ]

    @property
    def is_ticked(self) -> bool:
        """Whether somebody said that it was done; what stands on no paper was done."""
        return self.cause != Cause.NOT_ON_PATTERN or not self.line or bool(self.line.done_at)

    @property
    def is_open(self) -> bool:
        """As `open` has it."""
        counts = self.is_ticked or self.order.stage == Stage.DELIVERED
        return counts and not self.settled

    def __str__(self) -> str:
        return f"{self.what}{f', {self.place}' if self.place else ''}, {self.get_side_display()}"
