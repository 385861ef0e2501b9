"""A big shop cast from the demo shop: for figures of speed, never for work.

For each customer one pattern with two versions, four orders, two fittings of five entries, one
ticket with its lines, one set of measures. One customer in fifty has an order in hand. A first
block is made here; every further one gets customers and patterns of its own and, inside the
database, copies of the block's other rows, so a copied paper still says the name of the customer it
was copied from. The histories stay empty.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from random import Random
from typing import Final

from django.contrib.auth import get_user_model
from django.db import transaction
from django.utils import timezone

from fittings.demo import names
from fittings.demo.copies import Block
from fittings.demo.moulds import Mould, measures, moulds
from fittings.demo.people import PEOPLE
from fittings.demo.rows import KEYED, KINDS, Rows, key_after
from fittings.models import (
    Customer,
    Decision,
    Entry,
    Fitting,
    Garment,
    Measurement,
    MeasurementSet,
    Order,
    Stage,
    Ticket,
    TicketLine,
)
from patterns.models import Pattern, PatternVersion

BLOCK: Final = 1000
ORDERS: Final = 4
IN_HAND_EVERY: Final = 50
YEARS: Final = 20
CLOTHS: Final = tuple(cloth for person in PEOPLE for cloth in person.cloths)


class Casting:
    """Rows of one customer after another."""

    def __init__(self, today: dt.date, seed: int = 20) -> None:
        self.today = today
        self.draw = Random(seed)  # noqa: S311 - an invented shop, nothing secret # nosec B311
        self.moulds, self.measures = moulds(), measures()
        self.rows = Rows()
        staff = get_user_model().objects.order_by("pk")
        self.fitters = [user.pk for user in staff if user.role in {"fitter", "owner"}]
        self.makers = [user.pk for user in staff if user.role == "workroom"]

    def customer(self) -> None:
        """All rows of one more customer."""
        pk, since = self._known()
        mould = self.moulds[pk % len(self.moulds)]
        self._measure(pk, since)
        versions = self._versions(mould, since)
        in_hand = pk % IN_HAND_EVERY == 0
        orders = [self._order(pk, n, versions, since, in_hand=in_hand) for n in range(ORDERS)]
        worked = orders[-1] if in_hand else orders[0]
        self._ticket(worked, mould, versions, done=not in_hand)
        # Of the fittings, one in a hundred customers has one that is not signed.
        open_now = pk % (2 * IN_HAND_EVERY) == 0
        again = self._fitting(orders[1], mould, versions[1], signed=not open_now)
        if not open_now:
            self._decisions(again, mould)

    def copy(self, block: Block, number: int) -> None:
        """One more block: customers and patterns anew, the rest copied; in one transaction."""
        first, last = block.keys[Customer]
        for _ in range(first, last + 1):
            self._known()
        with transaction.atomic():
            self.rows.write()
            for kind in KINDS[2:]:
                block.copy_out(kind, number, within=None if kind in KEYED else Fitting)

    def _uuid(self) -> uuid.UUID:
        return uuid.UUID(int=self.draw.getrandbits(128), version=4)

    def _moment(self, day: dt.date, minutes: int = 0) -> dt.datetime:
        return dt.datetime.combine(day, dt.time(10), tzinfo=dt.UTC) + dt.timedelta(minutes=minutes)

    def _known(self) -> tuple[int, dt.date]:
        """A customer and a pattern under the same name; since when they are known."""
        pk, draw = self.rows.next_key(Customer), self.draw
        since = self.today - dt.timedelta(days=draw.randrange(400, YEARS * 365))
        family = names.family(draw)
        self.rows.put(
            Customer,
            pk,
            number=f"C-{pk:04d}",
            given_name=names.given(draw),
            family_name=family,
            phone=f"000 {draw.randrange(10**3):03d} {draw.randrange(10**4):04d}",
            email=f"c{pk}@demo.invalid",
            record_consent_on=since,
        )
        pk_of_pattern = self.rows.next_key(Pattern)
        self.rows.put(
            Pattern,
            pk_of_pattern,
            number=f"P-{pk_of_pattern:04d}",
            name=f"{family}, coat",
            block="house block",
            made_on=since,
        )
        return pk, since

    def _measure(self, customer: int, day: dt.date) -> None:
        pk = self.rows.next_key(MeasurementSet)
        self.rows.put(
            MeasurementSet,
            pk,
            customer_id=customer,
            taken_on=day,
            taken_by_id=self.fitters[0],
            worn_over="shirt",
        )
        for one in self.measures:
            self.rows.put(
                Measurement,
                self.rows.next_key(Measurement),
                measurement_set_id=pk,
                name=one.name,
                value_mm=one.value_mm,
                as_entered=one.as_entered,
                unit=one.unit,
            )

    def _versions(self, mould: Mould, day: dt.date) -> tuple[PatternVersion, PatternVersion]:
        made: list[PatternVersion] = []
        for number, sides in enumerate((mould.before, mould.after), start=1):
            version = self.rows.put(
                PatternVersion,
                self.rows.next_key(PatternVersion),
                pattern_id=self.rows.newest(Pattern).pk,
                number=number,
                parent_id=made[-1].pk if made else None,
                sides=sides,
                changes=mould.changes if made else [],
                made_at=self._moment(day, 30 * number),
                made_by_id=self.fitters[0],
            )
            made.append(version)
        return made[0], made[1]

    def _order(
        self,
        customer: int,
        n: int,
        versions: tuple[PatternVersion, PatternVersion],
        since: dt.date,
        *,
        in_hand: bool,
    ) -> Order:
        pk, draw = self.rows.next_key(Order), self.draw
        ordered = since + (self.today - since) * n // ORDERS
        promised = ordered + dt.timedelta(days=60)
        stage: str = Stage.DELIVERED
        if in_hand and n == ORDERS - 1:
            ordered = self.today - dt.timedelta(days=30)
            promised = self.today + dt.timedelta(days=draw.randrange(-5, 90))
            stage = Stage.FORWARD
        garment = Garment.TROUSERS if n == ORDERS - 2 else Garment.COAT
        row: Order = self.rows.put(
            Order,
            pk,
            number=f"O-{pk:04d}",
            customer_id=customer,
            garment=garment,
            cloth=draw.choice(CLOTHS),
            style="single-breasted, two buttons",
            stage=stage,
            ordered_on=ordered,
            promised_on=promised,
            maker_id=draw.choice(self.makers),
            pattern_version=versions[1] if garment == Garment.COAT else None,
        )
        return row

    def _fitting(
        self, order: Order, mould: Mould, version: PatternVersion, *, signed: bool
    ) -> Fitting:
        day = min(order.ordered_on + dt.timedelta(days=20), self.today)
        row: Fitting = self.rows.put(
            Fitting,
            self.rows.next_key(Fitting),
            order=order,
            stage=Stage.BASTE,
            held_on=day,
            fitter_id=self.fitters[0],
            pattern_version=version if signed else None,
            signed_at=self._moment(day, 40) if signed else None,
            signed_by_id=self.fitters[0] if signed else None,
        )
        for minute, (side, kind, data) in enumerate(mould.entries):
            self.rows.put(
                Entry,
                self._uuid(),
                fitting=row,
                side=side,
                kind=kind,
                data=data,
                made_at=self._moment(day, minute),
                made_by_id=self.fitters[0],
            )
        return row

    def _decisions(self, fitting: Fitting, mould: Mould) -> None:
        for one in mould.decisions:
            self.rows.put(
                Decision,
                self._uuid(),
                fitting=fitting,
                side=one.side,
                key=one.key,
                proposal=one.proposal,
                outcome=one.outcome,
                verdict=one.verdict,
                amount_mm=one.amount_mm,
                decided_at=self._moment(fitting.held_on, 30),
                decided_by_id=self.fitters[0],
            )

    def _ticket(
        self,
        order: Order,
        mould: Mould,
        versions: tuple[PatternVersion, PatternVersion],
        *,
        done: bool,
    ) -> None:
        fitting = self._fitting(order, mould, versions[0], signed=True)
        self._decisions(fitting, mould)
        customer, pattern = self.rows.newest(Customer), self.rows.newest(Pattern)
        pk, at = self.rows.next_key(Ticket), self._moment(fitting.held_on, 45)
        content = mould.content | {
            "customer": {"number": customer.number, "name": str(customer)},
            "order": mould.content["order"] | {"number": order.number, "cloth": order.cloth},
            "pattern": {"number": pattern.number, "name": pattern.name, "before": 1, "after": 2},
        }
        ticket = self.rows.put(
            Ticket,
            pk,
            number=f"T-{pk:04d}",
            order=order,
            fitting=fitting,
            issued_at=at,
            issued_by_id=self.fitters[0],
            content=content,
            pattern_before=versions[0],
            pattern_after=versions[1],
        )
        worked = at + dt.timedelta(days=2) if done else None
        for line in mould.lines:
            self.rows.put(
                TicketLine,
                self.rows.next_key(TicketLine),
                ticket=ticket,
                position=line.position,
                side=line.side,
                content=line.content,
                done_at=worked,
                done_by_id=self.makers[0] if done else None,
                minutes=self.draw.randrange(20, 100, 5) if done else None,
                checked_at=worked,
                checked_by_id=self.makers[-1] if done else None,
            )


def cast(customers: int, progress: Callable[[int], None]) -> None:
    """Add so many customers to the demo shop; `progress` is told how many are kept.

    More than BLOCK must be a whole number of blocks: refuses (ValueError) what is not.
    """
    size = min(customers, BLOCK)
    if customers % size:
        raise ValueError(f"Above {BLOCK} the shop grows by {BLOCK} customers at a time.")
    casting = Casting(timezone.localdate())
    firsts = {kind: key_after(kind) for kind in KEYED}
    for _ in range(size):
        casting.customer()
    casting.rows.write()
    progress(size)
    block = Block(keys={kind: (firsts[kind], key_after(kind) - 1) for kind in KEYED})
    for number in range(1, customers // size):
        casting.copy(block, number)
        progress((number + 1) * size)
    casting.rows.finish()
