"""What a shop says otherwise than the book about the findings of a garment, and its own."""

from __future__ import annotations

from django.db import models

from fittings.models.kept import Kept
from fittings.models.orders import Garment
from patterns.history import History


class ShopFinding(Kept):
    """Only what differs: a field left empty means what the book says.

    `rule` is the book's id of the finding; a finding of the shop's own (`is_own`) has an id that
    is in no book, and fills the fields below it. Lengths in mm.
    """

    rule = models.CharField(max_length=40, unique=True, editable=False)
    is_own = models.BooleanField(default=False, editable=False)
    switched_off = models.BooleanField(
        default=False, help_text="Not offered at a fitting any more; what was logged stays."
    )
    name = models.CharField(max_length=60, blank=True)
    seen = models.CharField("what is seen", max_length=200, blank=True)
    remedy = models.CharField("what is done", max_length=200, blank=True)
    usual_mm = models.DecimalField(
        "usual amount", max_digits=5, decimal_places=1, null=True, blank=True
    )
    # The rest is said only of a finding of the shop's own.
    garment = models.CharField(max_length=10, choices=Garment, blank=True)
    check_id = models.CharField("check it belongs to", max_length=12, blank=True)
    sided = models.BooleanField("each side by itself", default=True)
    piece = models.CharField(max_length=40, blank=True)
    edge = models.CharField(max_length=60, blank=True)
    direction = models.CharField("which way, in words", max_length=120, blank=True)
    acts = models.CharField("how the amount acts", max_length=40, blank=True)
    history = History()

    class Meta:
        ordering = ["rule"]

    def __str__(self) -> str:
        return self.name or self.rule.replace("_", " ")
