"""Numbers that come with a record: kept where they are free here, given anew where they are not."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from fittings.belonging import AnyModel
from fittings.models import Counter, Customer, Order, Ticket
from fittings.models.kept import numbered

# By model: the kind the counter counts, and the prefix of its numbers.
COUNTED: Final[Mapping[AnyModel, tuple[str, str]]] = {
    Customer: ("customer", "C"),
    Order: ("order", "O"),
    Ticket: ("ticket", "T"),
}


def number_here(model: AnyModel, number: str) -> str:
    """The number a row gets here. A kept one is never given out again by the counter, and is
    written as ours are: it stands in addresses and names of files."""
    kind, prefix = COUNTED[model]
    count = re.fullmatch(rf"{prefix}-([0-9]{{4,9}})", number)
    taken = number
    while not count or model._default_manager.filter(number=number).exists():
        number = numbered(kind, prefix)
        count = re.fullmatch(r".*-([0-9]+)", number)
    if count and number == taken:
        Counter.objects.get_or_create(kind=kind)
        Counter.objects.filter(kind=kind, last__lt=int(count[1])).update(last=int(count[1]))
    return number
