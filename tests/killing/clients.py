"""Clients that never give up: each write under an identity of its own, sent until it is answered.

`kept` are those that were answered as kept; `cut_off` counts those that a kill met under way,
`put_off` those that were answered with a request to try again.
"""

from __future__ import annotations

import random
import threading
import time
import uuid
from html import unescape
from io import BytesIO
from typing import Any, Final

import numpy as np
import requests
from PIL import Image

from tests.bringing.files import svg

DRAWING: Final = svg()
BOOK_ROWS: Final = 40


class Client(threading.Thread):
    """One kind of write, over and over."""

    def __init__(self, address: str, said: dict[str, Any], seed: int) -> None:
        super().__init__(daemon=True)
        self.address, self.said, self.random = address, said, random.Random(seed)  # noqa: S311
        self.kept: list[str] = []
        self.cut_off, self.put_off, self.under_way = 0, 0, threading.Event()
        self.over = threading.Event()
        self.fault = self.told = ""
        self.session = requests.Session()
        # A cookie is kept for the address alone, not for the port: only one shop is asked here.
        self.session.cookies.update({"sessionid": said["session"], "csrftoken": "k" * 32})

    def run(self) -> None:
        try:
            while not self.over.is_set():
                self.kept.append(self.write(uuid.UUID(int=self.random.getrandbits(128), version=4)))
                time.sleep(self.random.uniform(0.05, 0.3))  # others have their turn
        except Exception as fault:
            self.fault = repr(fault)

    def write(self, identity: uuid.UUID) -> str:
        """One write, answered as kept; returns what it is found by."""
        raise NotImplementedError

    def post(self, path: str, files: Any = None, **data: Any) -> str:
        """Sent until it is answered by leading on; returns where to."""
        sent = {"csrfmiddlewaretoken": "k" * 32, **data}
        while True:
            try:
                self.under_way.set()
                answer = self.session.post(
                    f"{self.address}{path}", sent, files=files, timeout=30, allow_redirects=False
                )
            except requests.RequestException as lost:
                self.cut_off += "refused" not in str(lost)  # else the shop is not open again yet
                time.sleep(0.05)
                continue
            finally:
                self.under_way.clear()
            if answer.status_code == 302:
                return answer.headers["Location"]
            if answer.status_code == 503:  # the record was busy: said so, kept nothing
                self.put_off += 1
                self.told = unescape(answer.text)
                time.sleep(0.05)
                continue
            raise AssertionError(f"{path}: {answer.status_code} {answer.text[:4000]}")


class Readings(Client):
    def write(self, identity: uuid.UUID) -> str:
        self.post(
            f"/fittings/{self.said['fitting']}/entries/",
            side="left",
            what="cuff-offset",
            way="plus",
            offset="60",
            drop="600",
            identity=str(identity),
        )
        return identity.hex


class Photographs(Client):
    def write(self, identity: uuid.UUID) -> str:
        noise = np.random.default_rng(identity.int).integers(0, 256, (48, 64, 3), dtype=np.uint8)
        file = BytesIO()
        Image.fromarray(noise).save(file, "JPEG")
        self.post(
            f"/fittings/{self.said['fitting']}/photographs/",
            files={"photograph": ("one.jpg", file.getvalue())},
            shows="front",
            identity=str(identity),
        )
        return identity.hex


class Tickets(Client):
    """Now and then the first paper of a fitting, else the next revision of one."""

    newest = ""

    def write(self, identity: uuid.UUID) -> str:
        if self.said["to_issue"] and len(self.kept) % 3 == 0:
            fitting = self.said["to_issue"].pop()
            self.post(f"/fittings/{fitting}/ticket/", sent_once=identity.hex)
            return f"fitting {fitting}"
        paper = self.newest or self.said["ticket"]
        self.newest = self.post(f"{paper}reissue/", reason=identity.hex, sent_once=identity.hex)
        return f"reason {identity.hex}"


class Versions(Client):
    """A drawing is read, looked at and saved; what was said of the saving is said again."""

    def write(self, identity: uuid.UUID) -> str:
        page = f"/patterns/{self.said['pattern']}/bring-in/"
        while True:
            self.post(page, files={"file": ("a.svg", DRAWING)})
            led = self.post(
                page,
                save="1",
                left="file",
                right="file",
                note=identity.hex,
                offered=str(self.newest()),
                sent_once=identity.hex,
            )
            if led != page:  # else what was read went with the process, before it was saved
                return identity.hex

    def newest(self) -> int:
        """A pattern's versions are counted from 1; nobody else makes any of this one."""
        return 1 + len(self.kept)


class Books(Client):
    """A customer book handed in, its columns named, and all its rows kept."""

    def write(self, identity: uuid.UUID) -> str:
        rows = "".join(f"Ada,{identity.hex}-{n}\n" for n in range(BOOK_ROWS))
        text = f"given name,family name\n{rows}"
        page = self.post("/customers/in-and-out/book/", files={"book": ("book.csv", text.encode())})
        self.post(page, **{"column-0": "given_name", "column-1": "family_name"})
        for keep in (False, True, False):
            self.post(f"{page}next/", **({"keep": "1"} if keep else {}))
        return identity.hex


KINDS: Final = (Readings, Photographs, Tickets, Versions, Books)
