"""What can be found by words: one row for each customer, order, ticket and pattern."""

from __future__ import annotations

from django.db import models


class FindableKind(models.TextChoices):
    CUSTOMER = "customer", "Customers"
    ORDER = "order", "Orders"
    TICKET = "ticket", "Tickets"
    PATTERN = "pattern", "Patterns"


class Findable(models.Model):
    """`folded` holds the words as `fittings.search.folding` folds them, each between two spaces.

    Where the database can, migrations put an index of three letters over it: an FTS5 table that
    triggers keep on SQLite, pg_trgm on PostgreSQL. Whoever changes this table by a later
    migration on SQLite makes the triggers anew.
    """

    kind = models.CharField(max_length=8, choices=FindableKind)
    object_id = models.PositiveBigIntegerField()
    folded = models.TextField()
    workroom_too = models.BooleanField(default=False, help_text="The workroom may find it.")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["kind", "object_id"], name="found_once_of_a_kind")
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.object_id}"
