"""The shop with one more part, whose second step fails or stands still when it is told to."""

from tailorshop.settings import *  # noqa: F403
from tailorshop.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "tests.steps.stuck"]
