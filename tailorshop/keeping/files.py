"""Files that are there whole or not at all, also when the machine stops while one is written."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

PART = ".part"


@contextmanager
def written_whole(path: Path) -> Iterator[IO[bytes]]:
    """A file that gets its name when it is on the disk; after a failure nothing is left."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=PART, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """So that a name given in it outlasts a loss of power."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


class WholeFileStorage(FileSystemStorage):
    """Django's folder of files, but a name never stands for half a file."""

    def _save(self, name: str, content: File[Any]) -> str:
        path = Path(self.path(name))
        path.parent.mkdir(parents=True, exist_ok=True)
        with written_whole(path) as file:
            for chunk in content.chunks():
                file.write(chunk)
        path.chmod(0o644 if self.file_permissions_mode is None else self.file_permissions_mode)
        return name.replace("\\", "/")
