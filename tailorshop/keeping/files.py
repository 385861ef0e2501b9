"""Files that are there whole or not at all, also when the machine stops while one is written."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, Final

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

PART = ".part"
# A disk that knows no second name of a file, such as a stick or a share.
_NO_LINKS: Final = frozenset({errno.EPERM, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK})


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


def given_free_name(file: Path, names: Iterable[Path]) -> Path:
    """Give the file the first of these names that is free; it never takes another one's place.

    Asked and given in one step, so that two who do it at once do not meet.
    """
    for path in names:
        try:
            os.link(file, path)
        except FileExistsError:
            continue
        except OSError as fault:
            if fault.errno not in _NO_LINKS:
                raise
            if path.exists():
                continue
            file.replace(path)
        file.unlink(missing_ok=True)
        sync_folder(path.parent)
        return path
    raise FileExistsError(errno.EEXIST, "Every name is taken", str(file))


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
