"""The fitting page again, for what is read on a figure."""

from tests.fitting.conftest import fitting, room

__all__ = ["fitting", "room"]
