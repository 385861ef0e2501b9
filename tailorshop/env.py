"""Read the shop's settings from the environment; a bad value names the variable and the cure."""

import os
from pathlib import Path
from typing import Any, Final

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

PREFIX = "TAILORSHOP_"
# Seconds, and milliseconds (tcp_user_timeout), by which a host of the database that went without a
# word is given up; the system alone would wait up to a quarter of an hour.
PATIENCE: Final = {
    "connect_timeout": 5,
    "keepalives_idle": 5,
    "keepalives_interval": 5,
    "keepalives_count": 2,
    "tcp_user_timeout": 10_000,
}


def text(name: str, default: str = "") -> str:
    return os.environ.get(PREFIX + name, default)


def switch(name: str, *, default: bool) -> bool:
    value = text(name, "1" if default else "0").strip().lower()
    if value in {"1", "yes", "on", "true"}:
        return True
    if value in {"0", "no", "off", "false", ""}:
        return False
    raise ImproperlyConfigured(f"{PREFIX}{name} is {value!r}: write 1 or 0.")


def words(name: str, default: str = "") -> list[str]:
    """A comma-separated list, blanks dropped."""
    return [word.strip() for word in text(name, default).split(",") if word.strip()]


def whole_number(name: str, default: int) -> int:
    value = text(name, str(default))
    try:
        return int(value)
    except ValueError:
        raise ImproperlyConfigured(f"{PREFIX}{name} is {value!r}: write a whole number.") from None


def one_of(name: str, choices: tuple[str, ...]) -> str:
    """One of the words; the first where nothing is said."""
    value = text(name, choices[0]).strip().lower()
    if value not in choices:
        raise ImproperlyConfigured(f"{PREFIX}{name} is {value!r}: write {' or '.join(choices)}.")
    return value


def folder(name: str, default: Path) -> Path:
    return Path(text(name) or default)


def database(default: str) -> dict[str, Any]:
    """What DATABASE_URL says, or `default`; what stands behind its "?" goes before our patience."""
    said = os.environ.get("DATABASE_URL") or default
    # A connection that was ended meanwhile is made anew before anybody meets it.
    found: Any = dj_database_url.parse(said, conn_max_age=60, conn_health_checks=True)
    if found["ENGINE"].endswith("postgresql"):
        found["OPTIONS"] = PATIENCE | found.get("OPTIONS", {})
    return dict(found)


def photograph_store() -> dict[str, Any]:
    """What STORAGES says of photographs: a folder, or a bucket where one is named.

    Without a key the machine's own identity is used, where its provider gives it one.
    """
    bucket = text("S3_BUCKET")
    if not bucket:
        return {"BACKEND": "tailorshop.keeping.files.WholeFileStorage"}
    if text("HAND_OVER_FILES") == "x-accel-redirect":
        raise ImproperlyConfigured(
            f"{PREFIX}HAND_OVER_FILES is x-accel-redirect, but the photographs are in a bucket and "
            "not in a folder of the front server: write none."
        )
    if bool(text("S3_KEY")) != bool(text("S3_SECRET")):
        raise ImproperlyConfigured(f"Set both {PREFIX}S3_KEY and {PREFIX}S3_SECRET, or neither.")
    chosen = {
        "bucket_name": bucket,
        "location": text("S3_FOLDER"),
        "endpoint_url": text("S3_ENDPOINT") or None,
        "region_name": text("S3_REGION") or None,
        "access_key": text("S3_KEY") or None,
        "secret_key": text("S3_SECRET") or None,
    }
    return {"BACKEND": "tailorshop.shared_store.SharedStorage", "OPTIONS": chosen}
