"""What every record of the shop has in common: a version against lost updates, and numbers."""

from typing import Any, Self

from django.db import models, transaction
from django.db.models import F

from fittings.refusals import RecordChanged


class Kept(models.Model):
    """A row that people edit: who saves must have seen the newest state of it.

    `version` counts the saves. `save_over(seen)` saves only when nobody saved since `seen`.
    """

    version = models.PositiveIntegerField(default=1, editable=False)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        abstract = True

    def save_over(self, seen: int) -> None:
        """Save, unless the row has moved on from version `seen`: then raise RecordChanged."""
        cls = type(self)
        with transaction.atomic():
            rows = cls._default_manager.filter(pk=self.pk, version=seen)
            if not rows.update(version=F("version") + 1):
                raise RecordChanged(
                    "Somebody else saved this record while you had it open. "
                    "What you typed is kept below; compare it with what is saved now."
                )
            self.version = seen + 1
            self.save()

    def as_saved(self) -> Self:
        """The row as it stands in the database now."""
        found: Self = type(self)._default_manager.get(pk=self.pk)
        return found


class Counter(models.Model):
    """The last number given out of a kind: customers, orders, tickets, patterns."""

    kind = models.CharField(max_length=20, primary_key=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.kind} {self.last}"

    @classmethod
    def next(cls, kind: str) -> int:
        """The next number of this kind; call it inside the transaction that uses it."""
        return cls.take(kind, 1)[0]

    @classmethod
    def take(cls, kind: str, count: int) -> range:
        """The next so many numbers at once, as `next`."""
        with transaction.atomic():
            cls.objects.get_or_create(kind=kind)
            cls.objects.filter(kind=kind).update(last=F("last") + count)
            last = cls.objects.get(kind=kind).last
            return range(last - count + 1, last + 1)


def numbered(kind: str, prefix: str) -> str:
    return numbered_many(kind, prefix, 1)[0]


def numbered_many(kind: str, prefix: str, count: int) -> list[str]:
    return [f"{prefix}-{number:04d}" for number in Counter.take(kind, count)]


class Numbered(models.Model):
    """A row with a number people say aloud, given once at the first save."""

    number = models.CharField(max_length=12, unique=True, editable=False)
    KIND = ""
    PREFIX = ""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        with transaction.atomic():
            if not self.number:
                self.number = numbered(self.KIND, self.PREFIX)
            super().save(*args, **kwargs)
