"""Write anew what customers, orders, tickets and patterns are found by."""

from typing import Any

from django.core.management.base import BaseCommand

from fittings.search.keeping import reindex


class Command(BaseCommand):
    help = "Write anew what customers, orders, tickets and patterns are found by."

    def handle(self, *args: Any, **options: Any) -> None:
        for kind, count in reindex():
            self.stdout.write(f"{count} {kind.label.lower()}")
