"""`manage.py backup`: the whole record as one file, while the shop goes on working."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError
from django.utils import timezone

from tailorshop.keeping.archive import back_up, remember
from tailorshop.keeping.manifest import BadArchive
from tailorshop.keeping.pruning import clear_left_over, prune
from tailorshop.keeping.sealing import read_recipient
from tailorshop.keeping.snapshot import NotTaken


class Command(BaseCommand):
    help = "Writes the database and the photographs into one checked archive."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", type=Path, help="folder; else TAILORSHOP_BACKUPS")
        parser.add_argument(
            "--encrypt-for",
            action="append",
            default=[],
            metavar="RECIPIENT",
            help="seal it for this age recipient (may be given again)",
        )
        parser.add_argument(
            "--portable",
            action="store_true",
            help="from PostgreSQL: an archive that SQLite takes too",
        )
        parser.add_argument(
            "--prune",
            action="store_true",
            help="then keep 7 daily, 4 weekly and 12 monthly archives",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        folder = options["to"] or settings.BACKUPS_DIR
        say = self.stdout.write
        try:
            recipients = [read_recipient(text) for text in options["encrypt_for"]]
            path, manifest = back_up(
                folder,
                at=timezone.now(),
                recipients=recipients,
                portable=options["portable"],
                say=say,
            )
        except (NotTaken, BadArchive, DatabaseError, OSError, ValueError) as fault:
            raise CommandError(f"No backup was made; the record is untouched. {fault}") from fault
        remember(path, manifest)
        say(
            f"{path}: {path.stat().st_size} bytes, read again and whole."
            if not recipients
            else f"{path}: {path.stat().st_size} bytes, sealed."
        )
        for gone in clear_left_over(folder, now=timezone.now()):
            say(f"Left by a backup that was stopped, deleted: {gone.name}")
        if options["prune"]:
            for gone in prune(folder, now=timezone.now(), spared=path):
                say(f"Past keeping, deleted: {gone.name}")
