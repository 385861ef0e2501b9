"""`manage.py reseal`: second factors sealed by the newest key, so that an older one can go."""

from typing import Any

from allauth.mfa.models import Authenticator
from cryptography.fernet import InvalidToken
from django.core.management.base import BaseCommand
from django.db import transaction

from tailorshop.signing_in.sealed import sealed_anew


class Command(BaseCommand):
    help = (
        "After SECRET_KEY was changed and the one before put into SECRET_KEY_FALLBACKS: seals the "
        "secrets of second factors by the new key."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        done = lost = 0
        with transaction.atomic():
            for factor in Authenticator.objects.select_for_update():
                try:
                    factor.data = sealed_anew(factor.data)
                except InvalidToken:
                    lost += 1
                    continue
                factor.save(update_fields=["data"])
                done += 1
        self.stdout.write(f"{done} second factors are sealed by the newest key.")
        if lost:
            self.stderr.write(
                f"{lost} were sealed by a key that is not known here and were left as they are: "
                "put that key into TAILORSHOP_SECRET_KEY_FALLBACKS and run this again, or take the "
                "second factors away on the page Staff."
            )
