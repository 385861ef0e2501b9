"""`manage.py export_shop TO`: the whole shop as one file, while it goes on working."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from tailorshop.keeping.snapshot import NotTaken
from tailorshop.moving.going_out import go_out


class Command(BaseCommand):
    help = "Writes every row and photograph of the shop into one zip file in its documented form."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("to", type=Path, help="a file that is not there yet, such as shop.zip")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            manifest = go_out(options["to"], at=timezone.now(), say=self.stdout.write)
        except (OSError, NotTaken) as fault:
            raise CommandError(str(fault)) from fault
        self.stdout.write(
            f"Written: {options['to']}, {sum(manifest.rows.values())} rows. It holds people's "
            "names, bodies and photographs, unsealed: keep it as you keep the record."
        )
