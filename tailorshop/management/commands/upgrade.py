"""`manage.py upgrade`: after a new version is in its place. Backup, database steps, checks."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from tailorshop.keeping.archive import last_file
from tailorshop.keeping.restoring import is_in_use
from tailorshop.steps import steps_unknown, steps_waiting

STOPPED = (
    "The step that failed has changed nothing; those before it are made. The shop stays closed. "
    "Either mend what the sentence below says and run upgrade again, or put the version of the "
    "program from before in its place and the record from before with it: "
    "manage.py restore {archive} --replace"
)
NO_ARCHIVE = "FILE (your last backup; nothing was in the record that had to be kept now)"


class Command(BaseCommand):
    help = "Makes a backup, gives the database the steps it lacks, and checks; stop the shop first."

    def handle(self, *args: Any, **options: Any) -> None:
        if unknown := steps_unknown():
            raise CommandError(f"The record is of a newer program: it has had {unknown[0]}.")
        waiting = steps_waiting()
        self.stdout.write(f"{len(waiting)} steps wait: {', '.join(waiting) or 'none'}.")
        archive = self._kept() if waiting and is_in_use() else None
        try:
            call_command("migrate", verbosity=0, stdout=self.stdout, stderr=self.stderr)
        except Exception as fault:
            done = f"{len(waiting) - len(steps_waiting())} of {len(waiting)} steps are made. "
            sentence = STOPPED.format(archive=archive or NO_ARCHIVE)
            raise CommandError(f"{done}{sentence}\n{type(fault).__name__}: {fault}") from fault
        call_command("check", stdout=self.stdout, stderr=self.stderr)
        self.stdout.write("Up to date: start the shop again.")

    def _kept(self) -> Path:
        call_command("backup", stdout=self.stdout, stderr=self.stderr)
        return settings.BACKUPS_DIR / last_file()
