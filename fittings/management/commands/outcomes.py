"""`manage.py outcomes`: write what was read, and what came of it, for fittings signed earlier."""

from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction

from fittings.models import Fitting, Outcome
from fittings.outcomes.record import keep


class Command(BaseCommand):
    help = "Fills in what came of corrections at fittings signed before this was kept; once each."

    def handle(self, *args: Any, **options: Any) -> None:
        before = Outcome.objects.count()
        rows = Fitting.objects.filter(signed_at__isnull=False, needs=None)
        for pk in list(rows.order_by("held_on", "pk").values_list("pk", flat=True)):
            with transaction.atomic():
                keep(Fitting.objects.select_related("order__pattern_version").get(pk=pk))
        self.stdout.write(f"Outcomes written: {Outcome.objects.count() - before}.")
