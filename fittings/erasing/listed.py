"""The erasure list beside the record: one line of JSON for each erased customer, without a name.

It is kept outside the database, so that restoring a backup of the day before does not bring
anybody back: `manage.py reapply_erasures` reads it, and the record's own list, and erases again.
"""

from __future__ import annotations

import datetime as dt
import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from django.conf import settings

from fittings.erasing.erase import erase
from fittings.erasing.parts import destroy, keys_of_part
from fittings.models import Customer, Destroyed, Erasure, KeptKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """One erased customer: the key and the number of the row, and the day (ISO 8601).

    `what`: "" for all of the customer; else what was destroyed ("photographs"), and `on` is then
    the moment up to which.
    """

    customer: int
    number: str
    on: str
    what: str = ""


def path() -> Path:
    return Path(settings.ERASURE_LIST)


def listed() -> list[Listed]:
    """What the list beside the record says; [] where there is none yet. Raises ValueError where a
    line of it cannot be read: nobody is to be forgotten in silence."""
    if not path().exists():
        return []
    return list(_read(path().read_text(encoding="utf-8").splitlines()))


def _read(lines: list[str]) -> Iterator[Listed]:
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            said = json.loads(line)
            yield Listed(
                customer=int(said["customer"]),
                number=said["number"],
                on=said["on"],
                what=said.get("what", ""),
            )
        except (ValueError, KeyError, TypeError) as fault:
            raise ValueError(f"{path()}, line {number} cannot be read: {fault}") from None


def write_down() -> None:
    """Write the erasures that the list does not have yet, and have them on the disk."""
    missing = [one for one in in_record() if one not in set(listed())]
    if not missing:
        return
    path().parent.mkdir(parents=True, exist_ok=True)
    opened = os.open(path(), os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    with os.fdopen(opened, "a", encoding="utf-8") as file:
        file.writelines(f"{json.dumps(asdict(one))}\n" for one in missing)
        file.flush()
        os.fsync(file.fileno())


def in_record() -> list[Listed]:
    erased = [
        Listed(customer=one.customer_key, number=one.number, on=one.erased_on.isoformat())
        for one in Erasure.objects.order_by("pk")
    ]
    parts = [
        Listed(customer=one.customer_key, number=one.number, on=one.at.isoformat(), what=one.what)
        for one in Destroyed.objects.order_by("pk")
    ]
    return erased + parts


def destroy_again(row: Customer, one: Listed) -> bool:
    """Whether anything was there again of what had been destroyed."""
    what, until = KeptKind(one.what), dt.datetime.fromisoformat(one.on)
    if not any(keys_of_part(row, what, until).values()):
        return False
    destroy(row, what, by=None, at=until, until=until)
    return True


def erase_again() -> list[str]:
    """Erase whoever is listed and stands in the record again; returns their numbers.

    Key and number must both be those that were listed: a record made anew may have given the key to
    somebody else.
    """
    done = []
    for one in dict.fromkeys([*listed(), *in_record()]):
        row = Customer.objects.present().filter(pk=one.customer, number=one.number).first()
        if row is None:
            continue
        if not one.what:
            erase(row, by=None, on=dt.date.fromisoformat(one.on))
            done.append(row.number)
        elif destroy_again(row, one):
            done.append(f"{row.number} ({one.what})")
    write_down()
    return done
