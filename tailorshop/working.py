"""The worker: does what is asked for beside the pages, until it is told to stop."""

from __future__ import annotations

import datetime as dt
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, Final
from uuid import uuid4

from django.db import DatabaseError, close_old_connections, connection
from django.utils import timezone

from fittings import books
from fittings.bench import print_queue
from fittings.carrying import waiting
from fittings.errands import queue, under_way
from fittings.errands.shared_clock import shared_now
from fittings.models import AtWork
from tailorshop.logs import write
from tailorshop.steps import door

LOOKS_EVERY_S: Final = 0.5
SWEEPS_EVERY_S: Final = 600.0
# What is kept for a while only goes even where nobody asks for, hands in or prints anything more.
SWEPT: Final = (under_way.sweep, waiting.sweep, print_queue.sweep, books.sweep)


class Working:
    """One worker. `dead_after`: without a sign of life for so long, others are taken for dead."""

    def __init__(self, *, dead_after: dt.timedelta = queue.DEAD_AFTER) -> None:
        self.name = f"worker-{uuid4().hex}"
        self.dead_after = dead_after
        self.worker = queue.worker(self.name)
        self.swept_at = float("-inf")

    def stop(self, *_: Any) -> None:
        """What it is at is done to its end; nothing more is begun."""
        self.worker.running = False

    def once(self) -> None:
        """Do what waits, and return."""
        queue.give_back(shared_now(), dead_after=self.dead_after)
        if queue.waits():
            self.worker.run()

    def go_on(self, *, parent: int | None = None) -> None:
        """Until it is stopped; `parent`: or until this process, which began it, has ended."""
        for one in (signal.SIGTERM, signal.SIGINT):
            signal.signal(one, self.stop)
        write("worker begins")
        with self._beating():
            while self.worker.running and parent in (None, os.getppid()):
                self._look()
                close_old_connections()
                if self.worker.running:
                    time.sleep(LOOKS_EVERY_S)
        write("worker ends")

    def _look(self) -> None:
        """A database that is out of reach, or not of this program, is looked at again later."""
        try:
            if door.is_shut():
                return
            self.once()
            if time.monotonic() - self.swept_at > SWEEPS_EVERY_S:
                self.swept_at = time.monotonic()
                for forget in SWEPT:
                    forget(timezone.now())
                queue.sweep_queue(timezone.now())
        except (DatabaseError, OSError) as fault:
            write("worker looks again", level=30, fault=type(fault).__name__)
            time.sleep(queue.BEAT_S)

    @contextmanager
    def _beating(self) -> Iterator[None]:
        every = min(queue.BEAT_S, self.dead_after.total_seconds() / 4)
        with _repeated(lambda: queue.beat(self.name), every):
            yield
        with suppress(DatabaseError):
            AtWork.objects.filter(name=self.name).delete()


@contextmanager
def _repeated(act: Callable[[], None], every_s: float) -> Iterator[None]:
    """At once and then again and again, in a thread with a connection of its own."""
    over = threading.Event()

    def go_on() -> None:
        while True:
            try:
                if not door.is_shut():
                    act()
            except DatabaseError:  # somebody holds the lock: the next one tells it
                pass
            close_old_connections()
            if over.wait(every_s):
                break
        connection.close()

    thread = threading.Thread(target=go_on, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()
