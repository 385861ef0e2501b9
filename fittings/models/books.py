"""What comes in from outside: a customer book as a table, and the record of one customer."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models
from django.urls import reverse

from fittings.models.people import Customer


class BookStep(models.TextChoices):
    READING = "reading", "its rows are being read"
    COLUMNS = "columns", "its columns are being named"
    TRYING = "trying", "its rows are being looked at"
    TRIED = "tried", "its rows are looked at, nothing is kept yet"
    KEEPING = "keeping", "its good rows are being kept"
    KEPT = "kept", "its good rows are kept"


class CustomerBook(models.Model):
    """A customer book that was handed in as CSV. `columns`: for each column of the file the name
    of the field it fills, "" for none."""

    name = models.CharField(max_length=120)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    encoding = models.CharField(max_length=20)
    delimiter = models.CharField(max_length=1)
    headings = models.JSONField(default=list)
    columns = models.JSONField(default=list)
    step = models.CharField(max_length=7, choices=BookStep, default=BookStep.COLUMNS)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("book", args=[self.pk])


class RowState(models.TextChoices):
    WAITING = "waiting", "waits"
    GOOD = "good", "can be kept"
    FAULTY = "faulty", "has a fault"
    KNOWN = "known", "is in the record already"
    KEPT = "kept", "kept"


class BookRowQuerySet(models.QuerySet["BookRow"]):
    def waiting(self) -> Self:
        return self.filter(state=RowState.WAITING)

    def good(self) -> Self:
        return self.filter(state=RowState.GOOD)

    def faulty(self) -> Self:
        return self.filter(state=RowState.FAULTY)


class BookRow(models.Model):
    """One row of a book: its cells until they are kept, and what is wrong with it.

    `number` is the line a spreadsheet shows it at. `faults`: [{"column", "words"}, ...].
    """

    book = models.ForeignKey(CustomerBook, on_delete=models.CASCADE, related_name="rows")
    number = models.PositiveIntegerField()
    cells = models.JSONField(default=list)
    faults = models.JSONField(default=list)
    state = models.CharField(max_length=7, choices=RowState, default=RowState.WAITING)
    customer = models.ForeignKey(
        Customer, on_delete=models.CASCADE, null=True, blank=True, related_name="book_rows"
    )

    objects = BookRowQuerySet.as_manager()

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["book", "number"], name="one_book_row_per_number")
        ]
        indexes = [models.Index(fields=["book", "state", "number"])]

    def __str__(self) -> str:
        return f"row {self.number}"


class BookOrigin(models.Model):
    """The row of a book that a customer came from, so that the same row is never kept twice.

    `key`: "number " and the outside number, or "row " and the digest of what the row says.
    """

    key = models.CharField(max_length=80, unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="book_origins")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.key


class CarriedIn(models.Model):
    """A customer whose record was made elsewhere. `old_numbers`: of what had to be numbered anew,
    the number there and the number here."""

    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="carried_in")
    record_sha256 = models.CharField(max_length=64)
    from_shop = models.CharField(max_length=120, blank=True)
    old_numbers = models.JSONField(default=dict)
    carried_at = models.DateTimeField()
    carried_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True
    )

    class Meta:
        ordering = ["-carried_at", "-pk"]

    def __str__(self) -> str:
        return f"carried in from {self.from_shop or 'elsewhere'}"
