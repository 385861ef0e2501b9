"""A PostgreSQL of its own, to be killed: Debian's programs, in a folder of the user postgres."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import quote

import psycopg

PROGRAMS: Final = max(Path("/usr/lib/postgresql").glob("*/bin"), default=None)
# Small segments, so that a small disk is full at a write and not before.
SMALL: Final = "-c min_wal_size=2MB -c max_wal_size=8MB -c shared_buffers=16MB"


@dataclass
class Cluster:
    """As a distribution sets it up, with `fsync` on; reached by a socket in its folder."""

    folder: Path

    @classmethod
    def made(cls, *, disk_mb: int | None = None) -> Cluster:
        """`disk_mb`: on a disk of its own of so many millions of bytes, in memory."""
        folder = Path(tempfile.mkdtemp(prefix="cluster-"))
        if disk_mb:
            mount = ["mount", "-t", "tmpfs", "-o", f"size={disk_mb}m", "none", folder]
            subprocess.run(mount, check=True)
        shutil.chown(folder, "postgres")
        cluster = cls(folder=folder)
        cluster.run("initdb", "-A", "trust", "-U", "shop", "-E", "UTF8", "--wal-segsize=1")
        cluster.start()
        cluster.run("createdb", "-h", str(folder), "-U", "shop", "shop")
        return cluster

    @property
    def address(self) -> str:
        return f"postgres://shop@/shop?host={quote(str(self.folder), safe='')}"

    @property
    def data(self) -> Path:
        return self.folder / "data"

    def run(self, program: str, *words: str, check: bool = True) -> int:
        assert PROGRAMS is not None, "PostgreSQL is not installed"
        user = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"]
        place = {"PGDATA": str(self.data), "LC_ALL": "C.UTF-8", "HOME": str(self.folder)}
        # No pipes: a server that is begun would hold them open.
        with Path(os.devnull).open("w") as nowhere:
            done = subprocess.run(
                [*user, str(PROGRAMS / program), *words],
                env=os.environ | place,
                cwd="/",
                stdout=nowhere,
                stderr=nowhere,
                check=check,
            )
        return done.returncode

    def start(self, seconds: float = 60) -> None:
        """Again and again: after a kill the children of the one that was killed must go first."""
        until = time.monotonic() + seconds
        options = f"-c listen_addresses='' -c unix_socket_directories={self.folder} {SMALL}"
        begin = ("-w", "-l", str(self.folder / "log"), "-o", options, "start")
        while self.run("pg_ctl", *begin, check=False):
            assert time.monotonic() < until, (self.folder / "log").read_text()[-3000:]
            time.sleep(0.2)

    def wait(self, seconds: float = 60) -> None:
        """Until it answers, having recovered by itself."""
        until = time.monotonic() + seconds
        while True:
            try:
                psycopg.connect(self.address).close()
            except psycopg.OperationalError:
                assert time.monotonic() < until
                time.sleep(0.05)
            else:
                return

    def kill_backend(self) -> None:
        """One that writes, where one does; the others are ended with it, and all begin anew."""
        order = "SELECT pid FROM pg_stat_activity WHERE backend_type = 'client backend'"
        busy = f"{order} AND pid <> pg_backend_pid() ORDER BY state = 'idle', xact_start LIMIT 1"
        asked = psycopg.connect(self.address, autocommit=True)
        if found := asked.execute(busy.encode()).fetchone():
            os.kill(found[0], signal.SIGKILL)
            with suppress(psycopg.OperationalError):
                while True:  # until this one is ended too
                    asked.execute("SELECT 1")
                    time.sleep(0.01)
        asked.close()

    def kill(self) -> None:
        """The one that begins all others."""
        os.kill(int((self.data / "postmaster.pid").read_text().split()[0]), signal.SIGKILL)

    @property
    def is_up(self) -> bool:
        return self.run("pg_ctl", "status", check=False) == 0

    def gone(self) -> None:
        self.run("pg_ctl", "-m", "immediate", "stop", check=False)
        subprocess.run(["umount", "--lazy", self.folder], check=False, stderr=subprocess.DEVNULL)
        shutil.rmtree(self.folder, ignore_errors=True)
