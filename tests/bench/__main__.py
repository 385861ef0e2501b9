"""`make bench`, or `python -m tests.bench craft papers pages fitters`: some of it.

Absolute figures are this machine's; only the ratios travel. BENCH_CUSTOMERS (10000) is the size of
the big shop, BENCH_REQUESTS (60) how often each page is asked for, BENCH_SECONDS (120) how long the
fitters work, BENCH_PAUSE (3) their seconds between entries. BENCH_FOLDER keeps the shops made for
the next run; otherwise they go with it.
"""

from __future__ import annotations

import os
import signal
import sys
import tempfile
from pathlib import Path


def main() -> None:
    # Stopped from outside, it still stops what it started.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    parts = sys.argv[1:] or ["craft", "papers", "pages", "fitters"]
    with tempfile.TemporaryDirectory() as gone:
        folder = Path(os.environ.get("BENCH_FOLDER", gone))
        os.environ["TAILORSHOP_VAR"], os.environ["TAILORSHOP_DEBUG"] = gone, "1"
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tailorshop.settings")
        import django

        django.setup()
        from tests.bench import craft, fitters, pages, papers

        if "craft" in parts:
            craft.curves()
            craft.craft()
        if "papers" in parts:
            papers.papers(folder)
        if "pages" in parts:
            pages.pages(folder, int(os.environ.get("BENCH_CUSTOMERS", "10000")))
        if "fitters" in parts:
            fitters.fitters(folder)


if __name__ == "__main__":
    main()
