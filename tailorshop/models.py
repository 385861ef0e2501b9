"""The people who work in the shop and sign in to it."""

from __future__ import annotations

from typing import Any, ClassVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models

from fittings.models.kept import Kept


class Role(models.TextChoices):
    FITTER = "fitter", "Fitter"
    WORKROOM = "workroom", "Workroom"
    OWNER = "owner", "Owner"
    KEEPER = "keeper", "Keeper of the installation"


class Units(models.TextChoices):
    CM = "cm", "Centimetres"
    MM = "mm", "Millimetres"
    INCH = "in", "Inches with eighths"


class Hand(models.TextChoices):
    RIGHT = "right", "Tablet in the left hand, tap with the right"
    LEFT = "left", "Tablet in the right hand, tap with the left"


class ShopUserManager(UserManager["User"]):
    def create_superuser(
        self,
        username: str,
        email: str | None = None,
        password: str | None = None,
        **extra: Any,
    ) -> User:
        """The first account of a shop, made at the command line, is its owner's."""
        return super().create_superuser(username, email, password, **({"role": Role.OWNER} | extra))


class User(AbstractUser, Kept):
    role = models.CharField(max_length=10, choices=Role, default=Role.WORKROOM)
    units = models.CharField(max_length=2, choices=Units, default=Units.CM)
    tapping_hand = models.CharField(max_length=5, choices=Hand, default=Hand.RIGHT)

    # Hashed; says who is fitting on a tablet that somebody is signed in on, and opens nothing.
    quick_code = models.CharField(max_length=128, blank=True, editable=False)

    objects: ClassVar[ShopUserManager] = ShopUserManager()
    # Set on the object of a request only: this person is named here, somebody else is signed in.
    signed_in_by: User | None = None

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.signed_in_by is not None:
            raise RuntimeError("Somebody who is only named on a tablet has another role there.")
        super().save(*args, **kwargs)


class Seen(models.Model):
    """Somebody read what is personal of a customer: who, on which page, in which ten minutes.

    Rows are added only. On PostgreSQL the shop's own database user cannot change them.
    """

    user = models.ForeignKey(User, on_delete=models.DO_NOTHING, related_name="+")
    # Whose sign-in it was, where a quick code said who was fitting.
    through = models.ForeignKey(
        User, null=True, on_delete=models.DO_NOTHING, related_name="+", db_constraint=False
    )
    page = models.CharField(max_length=40)
    # The key of the customer's row, which erasing empties; nothing for a list of many.
    customer_key = models.PositiveBigIntegerField(null=True, db_index=True)
    at = models.DateTimeField(db_index=True)
    window = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["user", "page", "customer_key", "window"], name="seen_once_in_ten_minutes"
            ),
            models.UniqueConstraint(
                fields=["user", "page", "window"],
                condition=models.Q(customer_key=None),
                name="list_seen_once_in_ten_minutes",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user_id} saw {self.page} of {self.customer_key}"


class SentOnce(models.Model):
    """A form that was sent and done: sent again, it leads where it led the first time."""

    digest = models.CharField(max_length=64, unique=True)
    led_to = models.CharField(max_length=500)
    at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return self.led_to
