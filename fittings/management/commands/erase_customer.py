"""`manage.py erase_customer C-0012`: erase a customer for good."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from fittings.erasing.erase import erase
from fittings.erasing.listed import write_down
from fittings.erasing.traces import settle
from fittings.models import Customer
from fittings.refusals import Refused


class Command(BaseCommand):
    help = "Erases a customer for good; asks for the number once more unless told --yes."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("number", help="The customer's number, such as C-0012.")
        parser.add_argument("--yes", action="store_true", help="Do not ask once more.")

    def handle(self, *args: Any, **options: Any) -> None:
        number = options["number"].upper()
        customer = Customer.objects.filter(number=number).first()
        if customer is None:
            raise CommandError(f"No customer has the number {number}.")
        if not options["yes"]:
            self.stdout.write(f"{customer}, {number}, will be erased and cannot be brought back.")
            if input("Type the number once more to erase: ").strip().upper() != number:
                raise CommandError("Nothing was erased: the number was another one.")
        try:
            erase(customer, by=None, on=timezone.localdate())
        except Refused as refused:
            raise CommandError(str(refused)) from None
        write_down()
        if not settle():
            self.stderr.write("The database is busy: run reapply_erasures at a quiet moment.")
        self.stdout.write(f"{number} is erased, and stands on the erasure list.")
