"""People who said a moment ago, once more, who they are."""

import time
from typing import Any

from django.test import Client


def said_who_they_are(signed: tuple[Client, Any]) -> None:
    """As after the page that asks for the password once more; the page itself is tested apart."""
    client, user = signed
    session = client.session
    session["account_authentication_methods"] = [
        {"method": "password", "at": time.time(), "reauthenticated": True}
    ]
    session["account_authentication_methods_user"] = str(user.pk)
    session.save()
