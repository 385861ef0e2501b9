"""The people who work in the shop and sign in to it."""

from django.contrib.auth.models import AbstractUser
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


class User(AbstractUser):
    role = models.CharField(max_length=10, choices=Role, default=Role.WORKROOM)
    units = models.CharField(max_length=2, choices=Units, default=Units.CM)
    tapping_hand = models.CharField(max_length=5, choices=Hand, default=Hand.RIGHT)

    def __str__(self) -> str:
        return self.get_full_name() or self.username
