"""Twenty fitters at once, each at a fitting of their own: real processes, real clients.

Each signs in by the form, then logs a reading every few seconds, now and then a small photograph
instead, each under an identity of its own and sent until it is answered as kept.
"""

from __future__ import annotations

import json
import os
import random
import socket
import threading
import time
import uuid
from collections import Counter
from io import BytesIO
from pathlib import Path
from statistics import quantiles
from typing import Any, Final

import requests

from tests.bench.shops import cluster, shop
from tests.running.installation import Installation
from tests.running.processes import started, wait_until_open

FITTERS: Final = 20
SECONDS: Final = float(os.environ.get("BENCH_SECONDS", "120"))
# Mean of the pause after each answer; a fitter takes longer than this over a reading.
PAUSE: Final = float(os.environ.get("BENCH_PAUSE", "3"))
PHOTOGRAPH_EVERY: Final = 8


def main() -> None:
    """Run within the shop: the fitters and their fittings, as JSON."""
    from django.contrib.auth import get_user_model
    from django.contrib.auth.hashers import make_password
    from django.utils import timezone

    from fittings.demo.factories import PASSWORD
    from tests.factories import FittingFactory, PatternVersionFactory, UserFactory

    # In a shop that was kept from an earlier run there are some of these people already.
    UserFactory.reset_sequence(1000 * get_user_model().objects.count())
    known, said = make_password(PASSWORD), []
    for _ in range(FITTERS):
        user = UserFactory(username=f"fitter{uuid.uuid4().hex[:8]}", password=known)
        row = FittingFactory(
            fitter=user,
            order__pattern_version=PatternVersionFactory(),
            order__customer__fitting_photo_consent_on=timezone.localdate(),
        )
        said.append({"login": user.username, "password": PASSWORD, "fitting": row.pk})
    print(json.dumps(said))


class Fitter(threading.Thread):
    def __init__(self, address: str, said: dict[str, Any], number: int) -> None:
        super().__init__(daemon=True)
        self.address, self.said = address, said
        self.random = random.Random(number)  # noqa: S311
        self.kept: dict[str, list[str]] = {"entry": [], "photograph": []}
        self.took: list[float] = []
        self.errors: Counter[str] = Counter()
        self.over, self.fault = threading.Event(), ""
        self.session = requests.Session()

    def sign_in(self) -> None:
        page = f"{self.address}/sign-in/"
        self.session.get(page, timeout=60).raise_for_status()
        who = {"login": self.said["login"], "password": self.said["password"]}
        token = {"csrfmiddlewaretoken": self.session.cookies["csrftoken"]}
        answer = self.session.post(page, who | token, timeout=60)
        if "sessionid" not in self.session.cookies:
            raise SystemExit(f"{who['login']} was not let in: {answer.status_code}")
        self.session.get(self._path(""), timeout=60).raise_for_status()

    def run(self) -> None:
        count = self.random.randrange(PHOTOGRAPH_EVERY)
        time.sleep(self.random.uniform(0, PAUSE))
        while not self.over.is_set():
            count += 1
            self.write("photograph" if count % PHOTOGRAPH_EVERY == 0 else "entry")
            self.over.wait(self.random.uniform(0.5, 1.5) * PAUSE)

    def write(self, kind: str) -> None:
        identity = uuid.uuid4()
        files, sent = None, {"identity": str(identity)}
        if kind == "photograph":
            files = {"photograph": ("one.jpg", small_photograph(self.random))}
            sent |= {"shows": "front"}
        else:
            sent |= {"side": self.random.choice(("left", "right")), "what": "cuff-offset"}
            sent |= {"way": "plus", "offset": str(self.random.randrange(1, 7)), "drop": "60"}
        begun = time.perf_counter()
        while not self._is_kept(kind, sent, files):
            time.sleep(0.2)
        self.took.append(time.perf_counter() - begun)
        self.kept[kind].append(identity.hex)

    def _is_kept(self, kind: str, sent: dict[str, str], files: Any) -> bool:
        """As the pages send it; whatever is not a 2xx is an error, and is sent again."""
        path = self._path("photographs/" if kind == "photograph" else "entries/")
        token = {"X-CSRFToken": self.session.cookies["csrftoken"], "HX-Request": "true"}
        try:
            answer = self.session.post(path, sent, files=files, headers=token, timeout=60)
        except requests.RequestException as lost:
            self.errors[type(lost).__name__] += 1
            return False
        if not answer.ok:
            self.errors[str(answer.status_code)] += 1
        if answer.status_code in {400, 403, 404, 422}:
            self.fault = f"{path} answered {answer.status_code}: {answer.text[:2000]}"
            raise SystemExit(self.fault)
        return answer.ok

    def _path(self, end: str) -> str:
        return f"{self.address}/fittings/{self.said['fitting']}/{end}"


def small_photograph(draw: random.Random) -> bytes:
    from PIL import Image

    file = BytesIO()
    Image.frombytes("RGB", (64, 48), draw.randbytes(64 * 48 * 3)).save(file, "JPEG")
    return file.getvalue()


def fitters(folder: Path) -> None:
    """On SQLite, then on PostgreSQL where a cluster can be started."""
    _at_work("SQLite", shop(folder / "demo"))
    with cluster() as address:
        if address:
            _at_work("PostgreSQL", shop(folder / "demo-postgres", address=address))
        else:
            print("PostgreSQL: no cluster can be started here")


def _at_work(engine: str, made: Installation) -> None:
    made.manage("collectstatic", "--no-input", "-v0")
    said = json.loads(made.program("tests.bench.fitters"))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = ["-m", "gunicorn", "-c", "tailorshop/running/gunicorn.conf.py"]
    command += ["--bind", f"127.0.0.1:{port}", "tailorshop.wsgi"]
    with started(command, made.env, made.folder / "gunicorn.log") as running:
        running.address = f"http://127.0.0.1:{port}"
        wait_until_open(running)
        people = [Fitter(running.address, one, number) for number, one in enumerate(said)]
        for person in people:
            person.sign_in()
        begun = time.perf_counter()
        for person in people:
            person.start()
        time.sleep(SECONDS)
        for person in people:
            person.over.set()
        for person in people:
            person.join(120)
        if faults := [person.fault for person in people if person.fault]:
            raise SystemExit(faults[0])
        _tell(engine, made, people, time.perf_counter() - begun)


def _tell(engine: str, made: Installation, people: list[Fitter], seconds: float) -> None:
    took = sorted(one for person in people for one in person.took)
    errors = sum((person.errors for person in people), Counter())
    parts = quantiles(took, n=20, method="inclusive")
    print(
        f"\n{FITTERS} fitters at once on {engine}, {seconds:.0f} s, a pause of {PAUSE:g} s: "
        f"{len(took) / seconds:.1f} kept a second, p50 {1000 * parts[9]:.0f} ms, "
        f"p95 {1000 * parts[18]:.0f} ms, errors {dict(errors) or 'none'}"
    )
    fittings = ",".join(str(person.said["fitting"]) for person in people)
    for kind, table in (("entry", "fittings_entry"), ("photograph", "fittings_photograph")):
        answered = [name for person in people for name in person.kept[kind]]
        query = f"SELECT id FROM {table} WHERE fitting_id IN ({fittings})"  # noqa: S608
        there = Counter(str(row[0]).replace("-", "") for row in made.rows(query))
        lost = sum(there[name] == 0 for name in answered)
        twice = sum(there[name] > 1 for name in answered)
        more = sum(there.values()) - len(answered)
        print(
            f"  {kind}: {len(answered)} answered as kept, of these lost {lost}, "
            f"there twice {twice}; in the record without an answer {more}"
        )
