"""Where the files of photographs are kept: in the default storage, named by what they hold.

The same content has the same name, so that nothing is kept twice and nothing is ever written over.
"""

from __future__ import annotations

from typing import Literal

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from fittings.photographs.taking import Taken

Size = Literal["master", "thumb"]


def name_of(sha256: str, size: Size = "master") -> str:
    """The name in the storage of the photograph whose master has this digest."""
    if len(sha256) != 64 or not sha256.isalnum():
        raise ValueError(f"{sha256!r} is no digest.")
    return f"photographs/{sha256[:2]}/{sha256}{'-small' if size == 'thumb' else ''}.jpg"


def keep(taken: Taken) -> str:
    """Keep both files; returns the digest that names them."""
    sha256 = taken.sha256
    _save(name_of(sha256, "thumb"), taken.thumb)
    _save(name_of(sha256), taken.master)
    return sha256


def load(sha256: str, size: Size = "master") -> bytes | None:
    """The file, or None where it was erased."""
    try:
        with default_storage.open(name_of(sha256, size)) as file:
            data: bytes = file.read()
            return data
    except FileNotFoundError:
        return None


def erase(sha256: str) -> None:
    for size in ("thumb", "master"):
        default_storage.delete(name_of(sha256, size))


def _save(name: str, data: bytes) -> None:
    if default_storage.exists(name):
        return
    saved = default_storage.save(name, ContentFile(data))
    if saved != name:  # somebody kept the same content in between
        default_storage.delete(saved)
