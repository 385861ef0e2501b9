"""The shop as it is run, and beside it in the same process what its pages are measured against."""

from tailorshop.settings import *  # noqa: F403
from tailorshop.settings import ALLOWED_HOSTS, DATABASES, INSTALLED_APPS, STORAGES

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin"]
ROOT_URLCONF = "tests.bench.urls"
ALLOWED_HOSTS = [*ALLOWED_HOSTS, "testserver"]
STORAGES = STORAGES | {
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
}
# One connection to the end, whose server process is measured too.
if DATABASES["default"]["ENGINE"].endswith("postgresql"):
    DATABASES["default"]["CONN_MAX_AGE"] = None
# What `startproject` writes: the admin's pages go through these alone.
PLAIN_MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
