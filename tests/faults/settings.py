"""The shop that waits a second for its record, where it waits twenty in earnest."""

from tests.killing.settings import *  # noqa: F403
from tests.killing.settings import DATABASES

if "timeout" in DATABASES["default"].get("OPTIONS", {}):
    DATABASES["default"]["OPTIONS"]["timeout"] = 1
