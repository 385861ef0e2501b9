"""A zip file from elsewhere: nothing in it is believed before it is checked, nothing unpacked."""

from __future__ import annotations

import json
import lzma
import re
import zipfile
import zlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import IO, Any, Final, Self

import jsonschema

from fittings.carrying.packing import DOCUMENT
from fittings.carrying.record import FORM, VERSION
from fittings.photographs.keeping import name_of
from fittings.photographs.taking import FORMATS, LONGEST_PX, Taken, digest
from fittings.refusals import Refused
from patterns.bringing.brought import NotBroughtIn
from patterns.bringing.pixels import pixels
from patterns.unseen import without_unseen_in

MOST_MEMBERS: Final = 20_000
MOST_DOCUMENT_BYTES: Final = 100_000_000
MOST_PHOTOGRAPH_BYTES: Final = 15_000_000
# The one sign that PostgreSQL keeps in no text.
_ZERO: Final = re.compile(rb"(?<!\\)(?:\\\\)*\\u0000")
NO_RECORD: Final = "This is not a record that was exported here or elsewhere: choose the zip file."
# What is raised over a zip file that is cut off, overwritten, encrypted or pressed in another way.
_BROKEN: Final = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    KeyError,
    ValueError,
    EOFError,
    OSError,
    RuntimeError,
)


@cache
def schema() -> dict[str, Any]:
    text = (Path(__file__).parent / "record.schema.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A record whose form is right; `sha256` names what it says, whenever it was written."""

    said: dict[str, Any]
    file: zipfile.ZipFile

    @classmethod
    def of(cls, file: IO[bytes]) -> Self:
        """Refuses (Refused) no zip file, too large, of a newer form, or not as the schema says."""
        try:
            opened = zipfile.ZipFile(file)
            members = opened.infolist()
            text = _read(opened, DOCUMENT, MOST_DOCUMENT_BYTES)
            said = without_unseen_in(json.loads(text))
            if _ZERO.search(text):
                raise ValueError("a text with a zero sign in it")
        except _BROKEN:
            raise Refused(NO_RECORD) from None
        if len(members) > MOST_MEMBERS:
            raise Refused(f"The file holds more than {MOST_MEMBERS} parts: it is no record.")
        _check_form(said)
        return cls(said=said, file=opened)

    @property
    def sha256(self) -> str:
        told = {key: self.said[key] for key in ("customer", "rows", "history")}
        return digest(json.dumps(told, sort_keys=True).encode())

    def photographs(self) -> dict[str, Taken]:
        """The photographs by the digest that names them. Refuses (Refused) a damaged one."""
        listed = {one["name"]: one["sha256"] for one in self.said["files"]}
        masters = {sha256: name for name, sha256 in listed.items() if name == name_of(sha256)}
        return {sha256: self._photograph(sha256, listed) for sha256 in masters}

    def _photograph(self, sha256: str, listed: dict[str, str]) -> Taken:
        master, size = self._picture(name_of(sha256), sha256)
        small = name_of(sha256, "thumb")
        if small not in listed:
            raise Refused(f"The small picture of photograph {sha256[:8]} is missing.")
        thumb, _ = self._picture(small, listed[small])
        return Taken(master=master, thumb=thumb, width=size[0], height=size[1])

    def _picture(self, name: str, sha256: str) -> tuple[bytes, tuple[int, int]]:
        try:
            data = _read(self.file, name, MOST_PHOTOGRAPH_BYTES)
            if digest(data) != sha256:
                raise Refused("Its content is another one than when it was exported.")
            return data, pixels(data, formats=FORMATS, longest=LONGEST_PX).size
        except (Refused, NotBroughtIn, *_BROKEN) as fault:
            raise Refused(f"Photograph {sha256[:8]} in the file is damaged: {fault}") from None


def _read(file: zipfile.ZipFile, name: str, most: int) -> bytes:
    """One member, at most so long whatever the file says of its length."""
    with file.open(name) as member:
        data = member.read(most + 1)
    if len(data) > most:
        raise ValueError(f"{name} is too long")
    return data


def _check_form(said: Any) -> None:
    if not isinstance(said, dict) or said.get("form") != FORM:
        raise Refused(NO_RECORD)
    if not isinstance(said.get("version"), int) or said["version"] > VERSION:
        raise Refused(
            f"The record is of form {str(said.get('version'))[:12]} and at most form {VERSION} is "
            "known here: bring this shop up to date first."
        )
    fault = jsonschema.exceptions.best_match(
        jsonschema.Draft202012Validator(schema()).iter_errors(said)
    )
    if fault is not None:
        raise Refused(f"The record is damaged at {fault.json_path[:80]}: {fault.message[:120]}")
