"""`manage.py reapply_erasures`: after a restore, forget again whom the record had forgotten."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from fittings.erasing.listed import erase_again
from fittings.erasing.traces import settle


class Command(BaseCommand):
    help = (
        "Erases again everybody on the erasure list who stands in the record; any number of times."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            done = erase_again()
        except ValueError as fault:
            raise CommandError(f"{fault}. Mend or remove that line, then run this again.") from None
        if not settle():
            self.stderr.write("The database is busy: run this once more at a quiet moment.")
        self.stdout.write(f"Erased again: {', '.join(done) if done else 'nobody'}.")
