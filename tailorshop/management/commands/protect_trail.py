"""`manage.py protect_trail USER`: print, or with --apply run, the SQL that protects the trail."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection, transaction

from tailorshop.trail.protected import statements


class Command(BaseCommand):
    help = (
        "On PostgreSQL, run as the owner of the tables and after each migrate: give the database "
        "user the shop runs as its rights, without changing the trail and the histories."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("user", help="the database user the shop runs as")
        parser.add_argument("--apply", action="store_true", help="run it; else it is printed")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            orders = statements(options["user"])
        except ValueError as fault:
            raise CommandError(str(fault)) from None
        if not options["apply"]:
            self.stdout.write("".join(f"{order};\n" for order in orders))
            return
        if connection.vendor != "postgresql":
            raise CommandError("Only PostgreSQL knows users: on SQLite the file is protected.")
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SELECT current_user")
            if cursor.fetchone()[0] == options["user"]:
                raise CommandError("Run this as the owner of the tables, not as the shop's user.")
            for order in orders:
                cursor.execute(order)
        self.stdout.write(f"The trail is protected from {options['user']}.\n")
