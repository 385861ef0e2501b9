"""Whether a correction did what was said it would, and what the shop has learnt from that."""

from __future__ import annotations

import datetime as dt
import math
from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from fittings.models.fittings import Decision, Fitting, Side
from patterns.history import History


class Need(models.Model):
    """What the readings of one thing came to when a fitting was signed; kept as it was then.

    `need_mm` is signed as the correction is that answers it, and not multiplied by what the shop
    has learnt; `rule` is the thing read ("pitch", "length"). `measured`: an amount was read, the
    usual one was not put in its place. `first`: nothing of it was read on this order before.
    """

    fitting = models.ForeignKey(Fitting, on_delete=models.CASCADE, related_name="needs")
    side = models.CharField(max_length=5, choices=Side)
    rule = models.CharField(max_length=40)
    need_mm = models.FloatField()
    sigma_mm = models.FloatField()
    measured = models.BooleanField()
    first = models.BooleanField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["fitting", "side", "rule"], name="one_need_per_side")
        ]
        indexes = [models.Index(fields=["rule", "first", "measured"])]

    def __str__(self) -> str:
        return f"{self.rule} {self.need_mm:.1f} mm"


class Outcome(models.Model):
    """One worked correction and the next reading of the same thing on the same side.

    Written once, when the later fitting is signed, and never changed. All mm, signed as the
    correction. `why_not_counted` is the sentence why nothing is learnt from it; "" where it is.
    """

    decision = models.OneToOneField(Decision, on_delete=models.CASCADE, related_name="came_of_it")
    need = models.ForeignKey(Need, on_delete=models.CASCADE, related_name="outcomes")
    before_mm = models.FloatField()
    before_sigma_mm = models.FloatField()
    worked_mm = models.FloatField()
    shop_share = models.FloatField(default=1.0)
    after_mm = models.FloatField()
    after_sigma_mm = models.FloatField()
    next_garment = models.BooleanField(default=False)
    why_not_counted = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.observed_mm:.1f} of {self.predicted_mm:.1f} mm"

    @property
    def predicted_mm(self) -> float:
        return self.worked_mm * self.shop_share

    @property
    def observed_mm(self) -> float:
        return self.before_mm - self.after_mm

    @property
    def residual_mm(self) -> float:
        return self.observed_mm - self.predicted_mm

    @property
    def sigma_mm(self) -> float:
        """Noise of what was observed, 1 sigma: that of both readings."""
        return math.hypot(self.before_sigma_mm, self.after_sigma_mm)


class SplitBy(models.TextChoices):
    ALL = "", "the whole shop"
    CLOTH = "cloth", "the cloth's weight"
    MAKER = "maker", "the maker"


class ShopFactorQuerySet(models.QuerySet["ShopFactor"]):
    def in_force(self, at: dt.datetime) -> Self:
        still = Q(withdrawn_at=None) | Q(withdrawn_at__gt=at)
        return self.filter(still, accepted_at__lte=at)


class ShopFactor(models.Model):
    """The share of a worked change that really comes in this shop, as the owner accepted it.

    `share` is what proposals use; `measured` with its 95 % interval is what the outcomes said by
    themselves, `tau` how the share differs from coat to coat (1 sigma).
    """

    rule = models.CharField(max_length=40)
    split_by = models.CharField(max_length=5, choices=SplitBy, blank=True, default="")
    split = models.CharField(max_length=20, blank=True, default="")
    split_words = models.CharField(max_length=120, blank=True, default="")
    share = models.FloatField(validators=[MinValueValidator(0.5), MaxValueValidator(1.5)])
    measured = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    tau = models.FloatField()
    coats = models.PositiveIntegerField()
    accepted_at = models.DateTimeField()
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="factors_accepted"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="factors_withdrawn",
    )

    objects = ShopFactorQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["rule", "split_by", "-accepted_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["rule", "split_by", "split"],
                condition=Q(withdrawn_at=None),
                name="one_factor_in_force",
            )
        ]

    def __str__(self) -> str:
        return f"{self.rule}: {self.share:.2f}"
