"""The demo shop, once for all of these tests: each of them leaves it as it was."""

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest
from django.db import transaction
from django.test import Client, override_settings
from django.urls import NoReverseMatch, reverse

from fittings.demo.shop import open_shop
from fittings.models import Fitting
from tailorshop.models import Role, User
from tailorshop.roles import ACCESS
from tests.factories import UserFactory
from tests.hostile.pages import Form, Seen, found
from tests.signing_in.people import said_who_they_are

# Whose browser the shop is walked with: HOSTILE_ROLE=workroom pytest tests/hostile
ROLE: Final = Role(os.environ.get("HOSTILE_ROLE", Role.OWNER))


@dataclass(slots=True, kw_only=True)
class Shop:
    """Somebody's browser, every page it came to, and every form on them."""

    client: Client
    pages: dict[str, Seen]
    forms: list[Form]


@pytest.fixture(autouse=True)
def _plain_settings() -> None:
    """Set once, by `shop`: what it keeps in the store must still be there for the next test."""


@pytest.fixture(scope="package")
def owner_here(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Client]:
    """The owner's browser in the demo shop."""
    plain = {
        "STORAGES": {
            "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
            "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
        },
        "PASSWORD_HASHERS": ["django.contrib.auth.hashers.MD5PasswordHasher"],
        "WHITENOISE_AUTOREFRESH": True,
        "ERASURE_LIST": Path(tmp_path_factory.mktemp("erased")) / "erased.jsonl",
        "LANGUAGE_CODE": "en-gb",
    }
    with override_settings(**plain), django_db_blocker.unblock(), transaction.atomic():
        open_shop()
        yield signed_in(Role.OWNER)
        transaction.set_rollback(True)


@pytest.fixture(scope="package")
def shop(owner_here: Client) -> Shop:
    return walked(owner_here if ROLE == Role.OWNER else signed_in(ROLE))


def signed_in(role: Role) -> Client:
    """The browser of somebody of this role, who said a moment ago who they are."""
    person = User.objects.filter(role=role).first() or UserFactory(role=role)
    client = Client()
    client.force_login(person)
    said_who_they_are((client, person))
    return client


def walked(client: Client) -> Shop:
    starts = ["/", "/sign-in/", *(fitting.get_absolute_url() for fitting in _telling())]
    starts += [reverse(name) for name in ACCESS if _has_no_arguments(name)]
    pages, forms = found(client, starts)
    return Shop(client=client, pages=pages, forms=forms)


def _telling() -> list[Fitting]:
    """Fittings with photographs, and those not signed yet: they offer the most."""
    pictured = Fitting.objects.filter(photographs__isnull=False).distinct()[:1]
    return [*pictured, *Fitting.objects.filter(signed_at=None)[:2]]


def _has_no_arguments(name: str) -> bool:
    try:
        reverse(name)
    except NoReverseMatch:
        return False
    return True
