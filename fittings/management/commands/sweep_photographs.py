"""`manage.py sweep_photographs`: delete files of photographs that nothing in the record names."""

import datetime as dt
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from fittings.photographs.orphans import GRACE, missing, sweep


class Command(BaseCommand):
    help = "Deletes files that no row names and that are older than the grace period."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--grace-hours", type=float, default=GRACE / dt.timedelta(hours=1))
        parser.add_argument("--dry-run", action="store_true", help="say what would go; delete none")

    def handle(self, *args: Any, **options: Any) -> None:
        grace = dt.timedelta(hours=options["grace_hours"])
        gone = sweep(timezone.now(), grace=grace, dry_run=options["dry_run"])
        for name in gone:
            self.stdout.write(name)
        self.stdout.write(f"{len(gone)} files that nothing names.")
        for sha256 in missing():
            self.stderr.write(f"A photograph is on record and its file is not there: {sha256}")
