"""`manage.py suggest FILE|-`: readings of one sleeve in, proposed corrections out, both JSON."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from patterns.geometry.refusals import GeometryRefused
from patterns.rules.document import BadDocument, read_case, read_json
from patterns.rules.propose import propose
from patterns.rules.report import report
from patterns.rules.solution import solve_report
from patterns.rules.solve import solve


class Command(BaseCommand):
    help = (
        "Reads a suggestion document (patterns/rules/suggestion.schema.json) from FILE or, for -, "
        "from standard input, and prints the proposed corrections as JSON. Bad input: exit code "
        "2 and one line per fault with its JSON path on standard error."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="a file's path, or - for standard input")
        parser.add_argument(
            "--together",
            action="store_true",
            help="also answer all readings at once by the fewest changes (key `together`)",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            case = read_case(read_json(_text(options["file"])))
            answer = report(propose(case))
            if options["together"]:
                answer["together"] = solve_report(solve(case))
        except BadDocument as bad:
            self._refuse(bad.faults)
        except GeometryRefused as refused:
            self._refuse((f"$: {refused}",))
        else:
            self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False))

    def _refuse(self, faults: tuple[str, ...]) -> None:
        for fault in faults:
            self.stderr.write(fault.replace("\n", " "), self.style.NOTICE)
        sys.exit(2)


def _text(name: str) -> str:
    try:
        if name == "-":
            return sys.stdin.buffer.read().decode("utf-8")
        return Path(name).read_text("utf-8")
    except UnicodeDecodeError:
        raise BadDocument([f"$: {name} is not UTF-8 text"]) from None
    except OSError as fault:
        raise BadDocument([f"$: {name} cannot be read: {fault.strerror}"]) from None
