"""Shops to measure in: of any size, on SQLite or on a PostgreSQL cluster of their own."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.running.installation import Installation

LONG = 7200.0


def shop(folder: Path, customers: int = 0, *, address: str = "", **more: str) -> Installation:
    """An invented shop in this folder, the demo shop where no number is said; kept if it is
    there already."""
    made = Installation(folder=folder, address=address, more={"TAILORSHOP_LOGS": "quiet", **more})
    folder.mkdir(parents=True, exist_ok=True)
    fill = ["big_shop", "--customers", str(customers)] if customers else ["demo"]
    whole = folder / "whole"
    for words in [["migrate", "-v0"], *([] if whole.exists() else [fill, ["reindex"]])]:
        done = made.manage(*words, seconds=LONG)
        if done.returncode:
            raise SystemExit(done.stderr)
    whole.touch()
    return made


@contextmanager
def cluster() -> Iterator[str]:
    """The address of an empty database on a cluster of its own, gone afterwards; "" where no
    cluster can be started."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
    if not found or os.geteuid() != 0:
        yield ""
        return
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        place.chmod(0o755)
        shutil.chown(place, "postgres", "postgres")
        data, control = str(place / "data"), str(found[-1] / "pg_ctl")
        _as_postgres(str(found[-1] / "initdb"), "-D", data, "-A", "trust", "-U", "shop")
        how = f"-c listen_addresses='' -c unix_socket_directories={place}"
        _as_postgres(control, "-D", data, "-w", "-l", str(place / "log"), "-o", how, "start")
        try:
            _as_postgres(str(found[-1] / "createdb"), "-h", name, "-U", "shop", "shop")
            yield f"postgres://shop@/shop?host={name.replace('/', '%2F')}"
        finally:
            _as_postgres(control, "-D", data, "-m", "fast", "stop")


def _as_postgres(*command: str) -> None:
    who: dict[str, Any] = {"user": "postgres", "group": "postgres", "extra_groups": []}
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd="/", **who)
