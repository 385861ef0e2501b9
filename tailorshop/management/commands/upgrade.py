"""`manage.py upgrade`: after a new version is in its place. Backup, database steps, checks."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand

from tailorshop.health import steps_waiting
from tailorshop.keeping.restoring import is_in_use


class Command(BaseCommand):
    help = "Makes a backup, gives the database the steps it lacks, and checks; stop the shop first."

    def handle(self, *args: Any, **options: Any) -> None:
        waiting = steps_waiting()
        self.stdout.write(f"{len(waiting)} steps wait: {', '.join(waiting) or 'none'}.")
        if waiting and is_in_use():
            call_command("backup", stdout=self.stdout, stderr=self.stderr)
        call_command("migrate", verbosity=0, stdout=self.stdout, stderr=self.stderr)
        call_command("check", stdout=self.stdout, stderr=self.stderr)
        self.stdout.write("Up to date: start the shop again.")
