"""Archives sealed with age (an open format): written for a recipient, opened with an identity."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Thread
from typing import IO, Any, Final

import pyrage

from tailorshop.keeping.manifest import BadArchive

SEALED: Final = ".age"
_BEGINS: Final = b"age-encryption.org/"


def read_recipient(text: str) -> Any:
    """The public key that archives are sealed for; raises ValueError in a sentence."""
    try:
        return pyrage.x25519.Recipient.from_str(text.strip())
    except pyrage.RecipientError:
        raise ValueError(f"{text!r} is no age recipient: it begins with age1.") from None


def read_identities(file: Path) -> list[Any]:
    """The secret keys in a key file, one a line; raises ValueError in a sentence."""
    lines = [line.strip() for line in file.read_text().splitlines()]
    keys = [line for line in lines if line and not line.startswith("#")]
    try:
        return [pyrage.x25519.Identity.from_str(key) for key in keys]
    except pyrage.IdentityError:
        raise ValueError(f"{file} holds a line that is no age identity.") from None


@contextmanager
def sealing(file: IO[bytes], recipients: list[Any]) -> Iterator[IO[bytes]]:
    """What is written into the stream goes sealed into the file; plain without recipients."""
    if not recipients:
        yield file
        return
    reading, writing = _pipe()
    worker = _Worker(lambda: pyrage.encrypt_io(reading, file, recipients), reading)
    try:
        yield writing
        writing.close()
    except BrokenPipeError:  # the other end has stopped, and says why
        pass
    finally:
        with suppress(BrokenPipeError):
            writing.close()
        worker.join()
    worker.check()


@contextmanager
def opened(path: Path, identities: list[Any]) -> Iterator[IO[bytes]]:
    """The plain archive as a stream. Refuses (BadArchive) a seal that these keys do not open."""
    with path.open("rb") as file:
        sealed = file.read(len(_BEGINS)) == _BEGINS
        file.seek(0)
        if not sealed:
            yield file
            return
        if not identities:
            raise BadArchive("The archive is sealed: name the file of its key with --identity.")
        reading, writing = _pipe()
        worker = _Worker(lambda: pyrage.decrypt_io(file, writing, identities), writing)
        try:
            yield reading
            while reading.read(1 << 20):
                pass
        finally:
            reading.close()
            worker.join()
            # Said in the place of what the reader made of half a stream.
            if worker.fault:
                raise BadArchive(f"The seal does not open or the file is damaged: {worker.fault}.")


def _pipe() -> tuple[IO[bytes], IO[bytes]]:
    reading, writing = os.pipe()
    return os.fdopen(reading, "rb"), os.fdopen(writing, "wb")


class _Worker(Thread):
    """Runs one end of the pipe and closes it, so that the other end never waits for ever."""

    def __init__(self, work: Callable[[], None], end: IO[bytes]) -> None:
        super().__init__(daemon=True)
        self.work, self.end, self.fault = work, end, ""
        self.start()

    def run(self) -> None:
        try:
            self.work()
        except BrokenPipeError:  # the other end wanted no more
            pass
        except Exception as fault:
            self.fault = str(fault) or type(fault).__name__
        with suppress(BrokenPipeError):
            self.end.close()

    def check(self) -> None:
        if self.fault:
            raise OSError(f"The archive could not be sealed: {self.fault}.")
