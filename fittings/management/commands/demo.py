"""`manage.py demo`: fill an empty record with the invented shop and print the sign-ins."""

from typing import Any

from django.core.management.base import BaseCommand

from fittings.demo.factories import PASSWORD
from fittings.demo.shop import QUICK_CODES, STAFF, is_open, open_shop


class Command(BaseCommand):
    help = "Fills an empty record with a shop of our own invention; a record in use is kept."

    def handle(self, *args: Any, **options: Any) -> None:
        if is_open():
            self.stdout.write("The record is in use already: nothing was added.")
        else:
            open_shop()
            self.stdout.write("The demo shop is open. Nobody and nothing in it is real.")
        self.stdout.write(f"\nSign in as (password for all of them: {PASSWORD})\n")
        for username, first, last, role, _ in STAFF:
            code = f", quick code {QUICK_CODES[username]}" if username in QUICK_CODES else ""
            self.stdout.write(f"  {username:8} {first} {last}, {role}{code}")
