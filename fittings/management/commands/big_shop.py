"""`manage.py big_shop --customers 100000`: fill an empty record with a shop as big as that."""

from time import monotonic
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from fittings.demo.big import BLOCK, cast
from fittings.demo.factories import PASSWORD
from fittings.demo.shop import STAFF, is_open, open_shop


class Command(BaseCommand):
    help = "Fills an empty record with a big invented shop, to measure speed. Not for work."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--customers", type=int, default=100_000)

    def handle(self, *args: Any, **options: Any) -> None:
        wanted: int = options["customers"]
        if wanted < 1:
            raise CommandError("Ask for at least one customer.")
        if wanted > BLOCK and wanted % BLOCK:
            raise CommandError(f"Above {BLOCK} ask for a multiple of {BLOCK}.")
        if is_open():
            raise CommandError(
                "This record is in use: a big invented shop is only made in an empty one. "
                "Point TAILORSHOP_VAR or DATABASE_URL at an empty record and run `migrate` there."
            )
        open_shop()
        self._started = monotonic()
        cast(wanted, lambda kept: self._tell(kept, wanted))
        names = [name for name, _, _, role, _ in STAFF if role in {"fitter", "owner"}]
        self.stdout.write(f"\nSign in as {' or '.join(names)}, password {PASSWORD}")

    def _tell(self, kept: int, wanted: int) -> None:
        took = monotonic() - self._started
        left = took / kept * (wanted - kept)
        self.stdout.write(f"{kept:>7} of {wanted} customers, {took:.0f} s, about {left:.0f} s left")
