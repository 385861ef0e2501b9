"""Run within a shop: each main page asked for, in turn with what it is measured against.

Processor time of this process and, on PostgreSQL, of the server's that answers it: all of it but
the waiting for the disk. Other programs on the machine take no part in it.
"""

from __future__ import annotations

import gc
import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from random import Random
from time import process_time
from typing import Any, Final

from django.conf import settings
from django.contrib.auth import get_user_model
from django.db import connection
from django.db.models import QuerySet
from django.test import Client, override_settings

from fittings.models import Customer, Fitting, Order, Ticket
from tailorshop.loading import load_all

REQUESTS: Final = int(os.environ.get("BENCH_REQUESTS", "60"))
WARM: Final = 3
DRAW: Final = Random(20)  # noqa: S311 - the same pages in every run


@dataclass
class Asked:
    """Times of a page's requests and of those beside it, in seconds."""

    page: str
    ours: list[float]
    beside: Mapping[str, list[float]]


def clock() -> float:
    """Seconds of processor time so far."""
    if connection.vendor == "sqlite":
        return process_time()
    connection.ensure_connection()
    of_server = Path(f"/proc/{connection.connection.info.backend_pid}/schedstat")
    return process_time() + int(of_server.read_text().split()[0]) / 1e9


def timed(client: Client, path: str) -> float:
    begun = clock()
    answer = client.get(path)
    took = clock() - begun
    if answer.status_code != 200:
        raise SystemExit(f"{path} answered {answer.status_code}")
    return took


def in_turn(
    page: str, client: Client, paths: list[str], others: Mapping[str, tuple[Client, list[str]]]
) -> Asked:
    """Ours and each of the others once, and so on; the first rounds are not counted."""
    asked = Asked(page=page, ours=[], beside={name: [] for name in others})
    for number in range(len(paths)):
        took = timed(client, paths[number])
        more = {
            name: timed(them, theirs[number % len(theirs)])
            for name, (them, theirs) in others.items()
        }
        if number < WARM:
            continue
        asked.ours.append(took)
        for name, other in more.items():
            asked.beside[name].append(other)
    return asked


def some(rows: QuerySet[Any]) -> list[Any]:
    """Different rows from all over the table, the same in every run."""
    keys = list(rows.order_by("pk").values_list("pk", flat=True))
    taken = DRAW.sample(keys, min(len(keys), REQUESTS + WARM))
    found = rows.in_bulk(taken)
    return [found[key] for key in taken]


def at_home(name: str) -> Client:
    client = Client()
    client.force_login(get_user_model().objects.get(username=name))
    return client


def bare_clients() -> dict[str, Client]:
    """With the shop's middleware, and with none at all; each has loaded its own."""
    whole, none = at_home("ines"), Client()
    path = f"/bench/bare/{Customer.objects.order_by('pk')[0].pk}/"
    timed(whole, path)
    with override_settings(MIDDLEWARE=[]):
        timed(none, path)
    return {"bare": whole, "bare, no middleware": none}


def admin_client() -> Client:
    """Signed in as one who may see all, through the middleware of a new Django project."""
    model = get_user_model()
    name = {"username": "bench-admin"}
    model.objects.get_or_create(**name, defaults={"is_staff": True, "is_superuser": True})
    with override_settings(MIDDLEWARE=settings.PLAIN_MIDDLEWARE):
        client = at_home("bench-admin")
        timed(client, "/bench/admin/fittings/customer/")
    return client


def details() -> Iterable[tuple[str, list[str]]]:
    customers = some(Customer.objects.present())
    tickets = Ticket.objects.filter(superseded_by=None).defer("content")
    yield "today", ["/"] * (REQUESTS + WARM)
    yield "customer", [row.get_absolute_url() for row in customers]
    open_now = some(Fitting.objects.filter(signed_at=None))
    yield "fitting, open", [row.get_absolute_url() for row in open_now]
    signed = some(Fitting.objects.exclude(signed_at=None))
    yield "fitting, signed", [row.get_absolute_url() for row in signed]
    yield "pattern history", [f"{row.get_absolute_url()}patterns/" for row in customers]
    yield "order", [row.get_absolute_url() for row in some(Order.objects.all())]
    yield "ticket", [row.get_absolute_url() for row in some(tickets)]


def lists() -> Iterable[tuple[str, list[str], list[str]]]:
    """The page, our addresses, the admin's. Every second page asked for is a later one."""
    pages = [1 + number % 2 * 2 for number in range(REQUESTS + WARM)]
    names = [f"{row.given_name} {row.family_name}" for row in some(Customer.objects.present())]
    words = [name.replace(" ", "+") for name in names]
    for name, ours, theirs in (
        ("customers", "/customers/?", "fittings/customer"),
        ("orders", "/orders/?stage=all&", "fittings/order"),
        ("patterns", "/patterns/?", "patterns/pattern"),
        ("tickets", "/tickets/?", "fittings/ticket"),
    ):
        admin = f"/bench/admin/{theirs}/?"
        yield (
            f"list of {name}",
            [f"{ours}page={page}" for page in pages],
            [f"{admin}p={page}" for page in pages],
        )
        yield (
            f"{name}, a name looked for",
            [f"{ours}q={word}" for word in words],
            [f"{admin}q={word}" for word in words],
        )
    tickets = [f"/bench/admin/fittings/ticket/?p={page}" for page in pages]
    yield "bench", ["/bench/"] * len(pages), tickets
    customers = [f"/bench/admin/fittings/customer/?q={word}" for word in words]
    yield "search, everything", [f"/search/?q={word}" for word in words], customers


def main() -> None:
    load_all()
    fitter, bare, admin = at_home("ines"), bare_clients(), admin_client()
    # What the admin has loaded by now is not gone through again while our pages are timed.
    gc.collect()
    gc.freeze()
    rows = [f"/bench/bare/{row.pk}/" for row in some(Customer.objects.present())]
    beside = {name: (client, rows) for name, client in bare.items()}
    asked = [in_turn(page, fitter, paths, beside) for page, paths in details()]
    asked += [
        in_turn(page, fitter, paths, {"admin": (admin, theirs)}) for page, paths, theirs in lists()
    ]
    print(
        json.dumps(
            {
                "customers": Customer.objects.count(),
                "asked": [asdict(one) for one in asked],
            }
        )
    )
