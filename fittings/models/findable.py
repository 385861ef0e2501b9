"""What can be found by words: one row for each customer, order, ticket and pattern."""

from __future__ import annotations

from typing import Final

from django.db import models

# Keys of one kind lie together and far from those of the next.
APART: Final = 2**40


class FindableKind(models.TextChoices):
    CUSTOMER = "customer", "Customers"
    ORDER = "order", "Orders"
    TICKET = "ticket", "Tickets"
    PATTERN = "pattern", "Patterns"

    @property
    def base(self) -> int:
        """What is added to the key of a thing of this kind to make that of its row."""
        return APART * (1 + list(FindableKind).index(self))


class Findable(models.Model):
    """`folded` holds the words as `fittings.search.folding` folds them, each between two spaces.

    The key says of what it is (`FindableKind.base`), so that the letters of one kind can be asked
    for alone. Where the database can, migrations put an index of three letters over the words: an
    FTS5 table that triggers keep on SQLite, pg_trgm for each kind on PostgreSQL. Whoever changes
    this table by a later migration on SQLite makes the triggers anew.
    """

    kind = models.CharField(max_length=8, choices=FindableKind)
    object_id = models.PositiveBigIntegerField()
    folded = models.TextField()

    class Meta:
        indexes = [
            # The best of very many are read off it in their order.
            models.Index(fields=["kind", "folded", "id"], name="found_in_order")
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.object_id}"
