"""The shop as it is run, without its static files: nobody looks at its pages here."""

from tailorshop.settings import *  # noqa: F403
from tailorshop.settings import STORAGES

STORAGES = STORAGES | {
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
}
