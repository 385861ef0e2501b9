"""The same thing done by several at one moment, each on a connection of its own."""

import threading
from collections.abc import Callable
from typing import TypeVar

from django.db import connection

Given = TypeVar("Given")


def at_once(times: int, do: Callable[[], Given]) -> list[Given]:
    """What each was given, in the order they were done; a fault of any is raised."""
    gate, given, faults = threading.Barrier(times), list[Given](), list[Exception]()

    def one() -> None:
        try:
            gate.wait(timeout=20)
            given.append(do())
        except Exception as fault:
            faults.append(fault)
        finally:
            connection.close()

    threads = [threading.Thread(target=one) for _ in range(times)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for fault in faults:
        raise fault
    return given
