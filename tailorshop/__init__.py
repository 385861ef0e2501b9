"""The project: settings, addresses, roles, and what wraps the whole."""

from typing import Final

VERSION: Final = "0.1.0"
