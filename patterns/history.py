"""The history of a row: each state it had, who made it so, and on whose sign-in."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.conf import settings
from django.db import models
from django.dispatch import receiver
from simple_history.models import HistoricalRecords
from simple_history.signals import pre_create_historical_record


class State(models.Model):
    """One state of a row; `history_user` is who made it so."""

    # Whose sign-in it was, where a quick code said who was fitting. Empty in older rows too.
    history_through = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        on_delete=models.DO_NOTHING,
        related_name="+",
        db_constraint=False,
        db_index=False,
    )

    class Meta:
        abstract = True

    @property
    def history_who(self) -> str:
        """In words: "Ines Aldara", or "Ines Aldara, on Odile Marchand’s sign-in"; "" where nobody
        was signed in. Read both people with the rows: `select_related(*PEOPLE)`."""
        who = str(getattr(self, "history_user", None) or "")
        return f"{who}, {self.history_on}" if self.history_through else who

    @property
    def history_on(self) -> str:
        """ "on Odile Marchand’s sign-in", or ""."""
        return f"on {self.history_through}’s sign-in" if self.history_through else ""


PEOPLE = ("history_user", "history_through")


History: Any = partial(HistoricalRecords, bases=(State,))


@receiver(pre_create_historical_record)
def _on_whose_sign_in(history_instance: Any, history_user: Any, **kwargs: Any) -> None:
    history_instance.history_through = getattr(history_user, "signed_in_by", None)
