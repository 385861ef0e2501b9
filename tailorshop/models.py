"""The people who work in the shop and sign in to it."""

from __future__ import annotations

from typing import Any, ClassVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models


class Role(models.TextChoices):
    FITTER = "fitter", "Fitter"
    WORKROOM = "workroom", "Workroom"
    OWNER = "owner", "Owner"


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


class User(AbstractUser):
    role = models.CharField(max_length=10, choices=Role, default=Role.WORKROOM)
    units = models.CharField(max_length=2, choices=Units, default=Units.CM)
    tapping_hand = models.CharField(max_length=5, choices=Hand, default=Hand.RIGHT)

    objects: ClassVar[ShopUserManager] = ShopUserManager()

    def __str__(self) -> str:
        return self.get_full_name() or self.username
