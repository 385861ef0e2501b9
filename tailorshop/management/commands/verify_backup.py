"""`manage.py verify_backup FILE`: is this archive whole, and would it be taken back here?"""

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from tailorshop.keeping.manifest import BadArchive
from tailorshop.keeping.sealing import read_identities
from tailorshop.keeping.unpack import unpack


class Command(BaseCommand):
    help = "Reads an archive to its end and says what it holds; touches nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--identity", type=Path, help="file with the age key of a sealed one")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            keys = read_identities(options["identity"]) if options["identity"] else []
            with TemporaryDirectory() as scratch:
                manifest = unpack(options["file"], Path(scratch), keys, media=False)
        except (BadArchive, OSError, ValueError) as fault:
            raise CommandError(str(fault)) from fault
        self.stdout.write(
            f"Whole: made {manifest.made_at:%Y-%m-%d %H:%M} UTC by version {manifest.version} on "
            f"{manifest.engine}; {sum(manifest.rows.values())} rows, {len(manifest.media)} files "
            f"of photographs, {manifest.size} bytes."
        )
