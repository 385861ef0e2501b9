"""`manage.py import_shop FROM`: a whole shop from its file into this empty one."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from fittings.refusals import Refused
from tailorshop.models import Role, User
from tailorshop.moving.coming_in import come_in


class Command(BaseCommand):
    help = "Brings a file that export_shop wrote into an empty shop: all of it or nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            manifest = come_in(options["file"], say=self.stdout.write)
        except (Refused, OSError, ValueError) as fault:
            raise CommandError(str(fault)) from fault
        owner = User.objects.filter(role=Role.OWNER, is_active=True).order_by("pk").first()
        self.stdout.write(
            f"Brought in: {sum(manifest.rows.values())} rows. No password came with them: run "
            f"manage.py changepassword {owner.username if owner else 'NAME'}, then give the others "
            "theirs on the page “Staff”."
        )
