"""A real server in a process group of its own, to be killed as a whole or by its worker."""

from __future__ import annotations

import os
import signal
import socket
from contextlib import ExitStack
from pathlib import Path

from tests.running.installation import Installation
from tests.running.processes import Running, started, wait_until_open


class Server:
    """Always at the same address, however often it is begun anew."""

    def __init__(self, shop: Installation, log: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        self.shop, self.log, self.starts = shop, log, 0
        self.stack = ExitStack()

    def start(self) -> None:
        self.starts += 1
        command = ["-m", "gunicorn", "-c", "tailorshop/running/gunicorn.conf.py"]
        # One process, so that whatever is under way is in the one that is killed.
        command += ["--workers", "1", "--threads", "8", "--bind", f"127.0.0.1:{self.port}"]
        log = self.log.with_name(f"{self.log.name}-{self.starts}")
        begun = started([*command, "tailorshop.wsgi"], self.shop.env, log)
        self.running: Running = self.stack.enter_context(begun)
        self.running.address = self.address
        wait_until_open(self.running)

    def kill_all(self) -> None:
        self.running.kill()

    def kill_worker(self) -> None:
        """The one that manages them begins another."""
        pid = self.running.process.pid
        for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
            os.kill(int(child), signal.SIGKILL)

    def stop(self) -> None:
        self.stack.close()
