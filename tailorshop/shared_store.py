"""Photographs in a store that several hosts share, by the S3 interface; closed to everybody else.

Files are read by the shop and handed to the browser by the page's own view, never by an address
that the store has signed: such an address would outlive a consent that is taken back.
"""

from __future__ import annotations

import datetime as dt
import errno
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from django.core.files.base import ContentFile, File
from storages.backends.s3 import S3Storage

from tailorshop.faults import StoreGone

# Somebody stands waiting: a store that does not answer is said to be gone, not waited for.
PATIENCE: Final = {"connect_timeout": 3, "read_timeout": 10, "retries": {"total_max_attempts": 2}}
# As long as one who asks may wait for it, so that no two of a process do so at once.
PAUSE_S: Final = 20.0
SILENT: Final = "the store of photographs does not answer"


class Pause:
    """A store that does not answer would hold up, picture by picture, all who wait for pages: after
    a fault it is left alone for a while, then asked by one. Seconds of a clock that never jumps."""

    again_at = 0.0

    def is_over(self, now: float) -> bool:
        if now < self.again_at:
            return False
        if self.again_at:
            self.again_at = now + PAUSE_S
        return True


class SharedStorage(S3Storage):
    """One bucket. A store that cannot be reached is an OSError (StoreGone), as a disk that is gone.

    Names are kept as given: photographs are named by their content, so the same name means the same
    bytes, and keeping them twice changes nothing.
    """

    bucket_name: str

    def __init__(self, **chosen: Any) -> None:
        self.pause = Pause()
        style = {"addressing_style": "path" if chosen.get("endpoint_url") else "auto"}
        super().__init__(
            file_overwrite=True,
            default_acl=None,
            client_config=Config(signature_version="s3v4", s3=style, **PATIENCE),
            **chosen,
        )

    def _open(self, name: str, mode: str = "rb") -> File[bytes]:
        """The whole file in one request."""
        client, key = self.connection.meta.client, self._normalize_name(name)
        with self._told_as_a_disk(name):
            answer = client.get_object(Bucket=self.bucket_name, Key=key)
            return ContentFile(answer["Body"].read(), name=name)

    def _save(self, name: str, content: File[bytes]) -> str:
        with self._told_as_a_disk(name):
            return str(super()._save(name, content))

    def exists(self, name: str) -> bool:
        with self._told_as_a_disk(name):
            return bool(super().exists(name))

    def delete(self, name: str) -> None:
        with self._told_as_a_disk(name):
            super().delete(name)

    def listdir(self, name: str) -> tuple[list[str], list[str]]:
        with self._told_as_a_disk(name):
            folders, files = super().listdir(name)
            return folders, files

    def get_modified_time(self, name: str) -> dt.datetime:
        with self._told_as_a_disk(name):
            at: dt.datetime = super().get_modified_time(name)
            return at

    @contextmanager
    def _told_as_a_disk(self, name: str) -> Iterator[None]:
        if not self.pause.is_over(time.monotonic()):
            raise StoreGone(errno.EIO, SILENT)
        try:
            yield
            self.pause.again_at = 0.0
        except ClientError as refused:
            self.pause.again_at = 0.0
            if refused.response.get("Error", {}).get("Code") in {"NoSuchKey", "404"}:
                raise FileNotFoundError(errno.ENOENT, "not in the store", name) from refused
            raise StoreGone(errno.EIO, "the store of photographs refused") from refused
        except BotoCoreError as gone:
            self.pause.again_at = time.monotonic() + PAUSE_S
            raise StoreGone(errno.EIO, SILENT) from gone
