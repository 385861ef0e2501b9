"""`manage.py restore FILE`: the record as it was when the archive was made. Stop the shop first."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from tailorshop.keeping.manifest import BadArchive
from tailorshop.keeping.restoring import InUse, restore
from tailorshop.keeping.sealing import read_identities
from tailorshop.keeping.snapshot import NotTaken


class Command(BaseCommand):
    help = "Puts the record of an archive in place, once the archive has proved whole."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--identity", type=Path, help="file with the age key of a sealed one")
        parser.add_argument(
            "--replace",
            action="store_true",
            help="put it in the place of a record, which is kept aside",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            keys = read_identities(options["identity"]) if options["identity"] else []
            restore(
                options["file"],
                keys,
                at=timezone.now(),
                replace=options["replace"],
                say=self.stdout.write,
            )
        except (BadArchive, InUse, NotTaken, OSError, ValueError) as fault:
            raise CommandError(str(fault)) from fault
        self.stdout.write("Restored; rows and files are as they were counted at the backup.")
