"""Who a paper is written for: the language, units and size that were written down of its maker."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fittings.models import Language, Maker, Order, PaperSize, Ticket


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """`unit`: "mm", "cm", "in" or "both"."""

    language: str
    unit: str
    size: str


def readers_of(tickets: Sequence[Ticket], *, unit: str) -> dict[int, Reader]:
    """By ticket; where nobody wrote its maker down: English, `unit` and A4."""
    of_person = {maker.person_id: maker for maker in Maker.objects.exclude(person=None)}
    of_outside = Maker.objects.outside().in_bulk()
    orders = Order.objects.in_bulk({one.order_id for one in tickets})
    plain = Reader(language=Language.ENGLISH.value, unit=unit, size=PaperSize.A4.value)

    def reader(order: Order) -> Reader:
        inside, outside = order.maker_id or 0, order.outside_maker_id or 0
        maker = of_person.get(inside) or of_outside.get(outside)
        if maker is None:
            return plain
        return Reader(language=maker.language, unit=maker.units, size=maker.paper)

    return {one.pk: reader(orders[one.order_id]) for one in tickets}
