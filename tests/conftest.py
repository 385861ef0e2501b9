"""What every test of the site stands on: plain static files, a fast hasher, people signed in."""

import os
from pathlib import Path
from typing import Any

import pytest
from django.db import connections
from django.test import Client

from tailorshop.models import Role, User
from tests.factories import UserFactory

# The browser runs an event loop in the thread that also asks the database for what to expect.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

Signed = tuple[Client, User]


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """SQLite in a file, as in a shop: one in memory locks whole tables between requests."""
    default = connections["default"]
    if default.vendor == "sqlite":
        name = tmp_path_factory.mktemp("database") / "shop.sqlite3"
        default.settings_dict["TEST"]["NAME"] = str(name)


@pytest.fixture(scope="session")
def django_db_setup(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """SQLite's empty record, as all steps leave it, is kept beside: see `new_record`."""
    if connections["default"].vendor == "sqlite":
        file = tmp_path_factory.getbasetemp() / "new-record.sqlite3"
        with django_db_blocker.unblock(), connections["default"].cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(file)])


@pytest.fixture(scope="session")
def new_record(django_db_setup: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty record of SQLite to be copied: all steps are made once in a run, not once more by
    every test that has a shop of its own."""
    return tmp_path_factory.getbasetemp() / "new-record.sqlite3"


@pytest.fixture(autouse=True)
def _plain_settings(settings: Any) -> None:
    settings.STORAGES = {
        "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.WHITENOISE_AUTOREFRESH = True


@pytest.fixture(autouse=True)
def _nobody_looked(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first look at a page writes a row into the trail, a later one does not: left out where
    a page's queries are counted, kept in the trail's own tests."""
    if "trail" not in request.path.parts:
        monkeypatch.setattr("tailorshop.trail.seen.write_down", lambda *args: None)


def _signed(role: Role) -> Signed:
    user = UserFactory(role=role)
    client = Client()
    client.force_login(user)
    return client, user


@pytest.fixture
def fitter(db: None) -> Signed:
    return _signed(Role.FITTER)


@pytest.fixture
def workroom(db: None) -> Signed:
    return _signed(Role.WORKROOM)


@pytest.fixture
def owner(db: None) -> Signed:
    return _signed(Role.OWNER)


@pytest.fixture
def keeper(db: None) -> Signed:
    return _signed(Role.KEEPER)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Whatever drives a Chromium is marked so, wherever it stands."""
    for item in items:
        if {"page", "browser", "context"} & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    """The system's Chromium, as root in a container too."""
    return {
        "executable_path": os.environ.get("CHROMIUM", "/usr/bin/chromium"),
        "args": ["--no-sandbox"],
    }
