"""What the workroom writes beside a ticket: questions, inlay used, minutes, and what it prints."""

from __future__ import annotations

from typing import Any, Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.kept import Kept
from fittings.models.makers import PaperSize
from fittings.models.orders import InlayPlace, Order
from fittings.models.tickets import Ticket, TicketLine
from fittings.refusals import Frozen
from patterns.history import History

MOST_WORDS_ASKED = 500


class QuestionQuerySet(models.QuerySet["Question"]):
    def open(self) -> Self:
        return self.filter(answered_at=None)

    def reachable(self) -> Self:
        return self.filter(line__ticket__order__customer__erased_on=None)

    def of_order(self, order: Order) -> Self:
        return self.filter(line__ticket__order=order)

    def with_paper(self) -> Self:
        """With all that a list says of a question; the papers' content stays where it is."""
        rows = self.select_related("asked_by", "line__ticket__order__customer")
        return rows.defer("line__content", "line__ticket__content")


class Question(models.Model):
    """What a maker asks the fitter about one line, and the answer. Said once, neither is changed:
    who wants to say more asks again."""

    line = models.ForeignKey(TicketLine, on_delete=models.CASCADE, related_name="questions")
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="questions_asked"
    )
    words = models.CharField(max_length=MOST_WORDS_ASKED)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="questions_answered",
    )
    answer = models.CharField(max_length=MOST_WORDS_ASKED, blank=True)

    objects = QuestionQuerySet.as_manager()

    class Meta:
        ordering = ["asked_at", "pk"]

    def __str__(self) -> str:
        return f"question on line {self.line_id}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk and Question.objects.exclude(answered_at=None).filter(pk=self.pk).exists():
            raise Frozen("This question is answered already: ask anew to say more.")
        super().save(*args, **kwargs)


class InlayUse(models.Model):
    """Inlay that one line takes at one place. `taken_mm` is what it has out of the order's
    remaining inlay at this moment, whatever was planned or written: all changes go through it."""

    line = models.ForeignKey(TicketLine, on_delete=models.CASCADE, related_name="inlay_uses")
    place = models.CharField(max_length=24, choices=InlayPlace)
    planned_mm = models.DecimalField(max_digits=5, decimal_places=1)
    taken_mm = models.DecimalField(max_digits=5, decimal_places=1, default=0)
    used_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    as_entered = models.CharField(max_length=24, blank=True)
    unit = models.CharField(max_length=2, blank=True)
    history = History()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["line", "place"], name="one_use_per_line_and_place")
        ]

    def __str__(self) -> str:
        return f"{self.get_place_display()} {self.taken_mm} mm"


class OperationTime(Kept):
    """Minutes that the owner wrote down for an operation; one without a row keeps our guess."""

    operation = models.CharField(max_length=20, unique=True)
    minutes = models.PositiveSmallIntegerField()
    history = History()

    class Meta:
        ordering = ["operation"]

    def __str__(self) -> str:
        return f"{self.operation} {self.minutes} min"


class PrintRun(models.Model):
    """Several tickets chosen to be printed as one file. `paper` "": as each maker has it."""

    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE)
    paper = models.CharField(max_length=2, choices=PaperSize, blank=True, default="")

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"print run {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("print-run", args=[self.pk])


class PrintSheet(models.Model):
    """One ticket of a run: its paper as a PDF of so many pages, refused in a sentence, or still
    waiting (no pages)."""

    run = models.ForeignKey(PrintRun, on_delete=models.CASCADE, related_name="sheets")
    ticket = models.ForeignKey(Ticket, on_delete=models.CASCADE, related_name="+")
    position = models.PositiveSmallIntegerField()
    paper = models.CharField(max_length=2, choices=PaperSize, default=PaperSize.A4)
    pdf = models.BinaryField(blank=True, default=b"")
    pages = models.PositiveSmallIntegerField(default=0)
    refused = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["run", "ticket"], name="one_sheet_per_ticket_in_a_run")
        ]

    def __str__(self) -> str:
        return f"sheet {self.position}"

    @property
    def is_ready(self) -> bool:
        return bool(self.pages or self.refused)
