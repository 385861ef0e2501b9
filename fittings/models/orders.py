"""An order ties a customer to a garment, a cloth and the pattern version it is cut from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Final, Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.kept import Kept, Numbered
from fittings.models.people import Customer
from patterns.history import History


class Garment(models.TextChoices):
    COAT = "coat", "Coat"
    WAISTCOAT = "waistcoat", "Waistcoat"
    TROUSERS = "trousers", "Trousers"
    OVERCOAT = "overcoat", "Overcoat"


class Stage(models.TextChoices):
    MEASURED = "measured", "Measured"
    CUT = "cut", "Cut, with inlays"
    BASTE = "baste", "Baste fitting"
    FORWARD = "forward", "Forward fitting"
    FINISH = "finish", "Finish fitting"
    DELIVERED = "delivered", "Delivered"


IN_HAND = [stage for stage in Stage.values if stage != Stage.DELIVERED]


class OrderQuerySet(models.QuerySet["Order"]):
    def open(self) -> Self:
        # Said as what they are, not as what they are not, so that an index finds them.
        return self.filter(stage__in=IN_HAND)

    def due_by(self, day: dt.date) -> Self:
        return self.open().filter(promised_on__lte=day)


class Order(Numbered, Kept):
    KIND, PREFIX = "order", "O"

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="orders")
    garment = models.CharField(max_length=10, choices=Garment, default=Garment.COAT)
    suit = models.CharField(
        max_length=40, blank=True, help_text="Same words on each garment of one suit."
    )
    cloth = models.CharField(max_length=120)
    cloth_weight_g = models.PositiveSmallIntegerField(
        "cloth weight, grams to the metre", null=True, blank=True
    )
    style = models.CharField(max_length=120, blank=True)
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.MEASURED)
    promised_on = models.DateField(null=True, blank=True)
    maker = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="orders_in_hand",
    )
    outside_maker = models.ForeignKey(
        "Maker",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="orders",
        help_text="Who makes it where nobody of the shop does.",
    )
    pattern_version = models.ForeignKey(
        "patterns.PatternVersion",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="orders",
        help_text="The version it is cut from.",
    )
    notes = models.TextField(blank=True)
    ordered_on = models.DateField()

    objects = OrderQuerySet.as_manager()
    history = History()

    class Meta:
        ordering = ["promised_on", "pk"]
        indexes = [
            models.Index(fields=["stage", "promised_on"]),
            models.Index(fields=["-ordered_on", "-id"], name="orders_newest_first"),
            models.Index(fields=["stage", "-ordered_on", "-id"], name="orders_of_a_stage_newest"),
            # For PostgreSQL; SQLite cannot tell that a question is about these alone.
            models.Index(
                fields=["promised_on", "id"],
                condition=models.Q(stage__in=IN_HAND),
                name="orders_in_hand",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.get_garment_display().lower()}"

    def get_absolute_url(self) -> str:
        return reverse("order", args=[self.pk])

    @property
    def made_by(self) -> str:
        """Who makes it, as the papers say it; "" while nobody does."""
        return str(self.maker or self.outside_maker or "")


class InlayPlace(models.TextChoices):
    """Where cloth was left over. On a sleeve the values are those of the suggestion document, on
    the rest of the garment the accounts of the book's remedies (`Remedy.account`)."""

    TOP_SLEEVE_HEAD = "top_sleeve_head", "top sleeve, head"
    UNDER_SLEEVE_HEAD = "under_sleeve_head", "under sleeve, head"
    TOP_SLEEVE_HINDARM = "top_sleeve_hindarm", "top sleeve, hindarm"
    UNDER_SLEEVE_HINDARM = "under_sleeve_hindarm", "under sleeve, hindarm"
    TOP_SLEEVE_FOREARM = "top_sleeve_forearm", "top sleeve, forearm"
    UNDER_SLEEVE_FOREARM = "under_sleeve_forearm", "under sleeve, forearm"
    CUFF = "cuff", "cuff"
    FRONT_SHOULDER = "front_shoulder", "front shoulder"
    BACK_SHOULDER = "back_shoulder", "back shoulder"
    BACK_ARMHOLE = "back_armhole", "back armhole"
    SIDE_CHEST = "side_chest", "side seam at the chest"
    SIDE_WAIST = "side_waist", "side seam at the waist"
    SIDE_HIPS = "side_hips", "side seam below the waist"
    HEM = "hem", "hem"
    WAIST = "waist", "seat seam at the waist"
    WAIST_EDGE = "waist_edge", "waist edge, all round"
    SEAT = "seat", "seat"
    FORK = "fork", "fork"
    LEG = "leg", "leg"
    BOTTOMS = "bottoms", "bottoms"


_COAT: Final = (
    *(InlayPlace.FRONT_SHOULDER, InlayPlace.BACK_SHOULDER, InlayPlace.BACK_ARMHOLE),
    *(InlayPlace.SIDE_CHEST, InlayPlace.SIDE_WAIST, InlayPlace.SIDE_HIPS, InlayPlace.HEM),
)
_TROUSERS: Final = (
    *(InlayPlace.WAIST, InlayPlace.WAIST_EDGE, InlayPlace.SEAT),
    *(InlayPlace.FORK, InlayPlace.LEG, InlayPlace.BOTTOMS),
)
SLEEVE_PLACES: Final = tuple(place for place in InlayPlace if place not in (*_COAT, *_TROUSERS))
# Where cloth can be left over on each garment, in the order it is written down.
INLAY_PLACES: Final[Mapping[str, tuple[InlayPlace, ...]]] = {
    Garment.COAT: (*_COAT, *SLEEVE_PLACES),
    Garment.OVERCOAT: (*_COAT, *SLEEVE_PLACES),
    Garment.WAISTCOAT: (InlayPlace.SIDE_WAIST, InlayPlace.HEM),
    Garment.TROUSERS: _TROUSERS,
}


class OrderInlay(models.Model):
    """Cloth left over at one place of one side: as cut, and what remains of it."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="inlays")
    side = models.CharField(
        max_length=5, choices=[("left", "wearer's left"), ("right", "wearer's right")]
    )
    place = models.CharField(max_length=24, choices=InlayPlace)
    as_cut_mm = models.DecimalField(max_digits=5, decimal_places=1)
    left_mm = models.DecimalField(max_digits=5, decimal_places=1)
    history = History()

    class Meta:
        ordering = ["side", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["order", "side", "place"], name="one_inlay_per_place")
        ]

    def __str__(self) -> str:
        return f"{self.get_place_display()} {self.left_mm} mm"
