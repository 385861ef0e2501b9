"""`manage.py work`: does the long work that pages ask for."""

import datetime as dt
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from fittings.errands.queue import DEAD_AFTER
from tailorshop.steps import look_at_the_start
from tailorshop.working import Working


class Command(BaseCommand):
    help = "Does long work beside the pages until it is stopped; what is begun is done to its end."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="do what waits, then end")
        parser.add_argument(
            "--with-parent",
            type=int,
            metavar="PID",
            help="end when this process, which began it, has ended",
        )
        parser.add_argument(
            "--dead-after",
            type=float,
            default=DEAD_AFTER.total_seconds(),
            metavar="SECONDS",
            help="take another worker for dead that was silent for so long",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        look_at_the_start()
        working = Working(dead_after=dt.timedelta(seconds=options["dead_after"]))
        if options["once"]:
            working.once()
        else:
            working.go_on(parent=options["with_parent"])
