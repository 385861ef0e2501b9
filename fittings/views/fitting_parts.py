"""What the fitting page shows: each side as a panel, and what closes the fitting."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any, Final

from django.utils import timezone

from fittings.fitting_room.at_rest import AtRest, at_rest
from fittings.fitting_room.catalogue import Catalogue, by_check
from fittings.fitting_room.decisions import check_can_sign
from fittings.fitting_room.proposals import SideProposals, every_side
from fittings.fitting_room.proposed import AnyProposed
from fittings.fitting_room.said import entry_said
from fittings.fitting_room.undo import last_step
from fittings.forms.by_hand import hand_forms
from fittings.forms.fitting import DecisionForm
from fittings.forms.reading_form import ReadingForm
from fittings.forms.readings import reading_forms
from fittings.models import Decision, Entry, EntryKind, Fitting, Ticket
from fittings.refusals import Refused
from fittings.ticketing.issuing import check_can_issue, failing_checks
from fittings.views.fitting_cards import Card, card_of
from fittings.views.fitting_garment import OnGarment, is_on_garment, on_garment
from fittings.views.fitting_steps import Step, steps
from patterns.rules.checks import has_sleeves

Bound = ReadingForm | DecisionForm | None

# What every fitter keeps to; trade practice, no source.
CARE: Final = (
    "Ask before touching, stop on request.",
    "Warn before moving the arm.",
    "Pins counted, heads outward, none in the mouth.",
    "Iron and steam never on the body.",
    "Offer a seat after 20 minutes.",
    "The tool proposes, the fitter decides; local rules come first.",
)


# Why a ticket is issued although the pattern would not walk: the usual reasons, for one tap.
DESPITE: Final = ("The workroom trues it on the board", "Agreed with the cutter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One entry in words; `when` in the words of the day of the fitting."""

    entry: Entry
    words: str
    when: str

    @property
    def anchor(self) -> str:
        return f"entry-{self.entry.pk}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One side of the page."""

    proposals: SideProposals
    lines: list[Line]
    taken_back: list[Line]
    cards: list[Card]
    kinds: list[ReadingForm]
    hand: list[ReadingForm]
    open_kind: str = ""
    refusal: str = ""
    # The browser keeps one of a group open; the group of a part put in must not be that of the
    # part it replaces, or what was open in both is closed.
    group: str = field(default_factory=lambda: uuid.uuid4().hex[:8])

    @property
    def side(self) -> str:
        return self.proposals.side.value

    @property
    def here(self) -> str:
        """What the part is called in the page."""
        return f"side-{self.side}"

    @property
    def label(self) -> str:
        return str(self.proposals.side.label)

    @property
    def fallen(self) -> list[Decision]:
        return [d for d in self.proposals.fallen if not is_on_garment(d)]

    @property
    def acceptable(self) -> list[Card]:
        """What one tap accepts: shown, undecided, and reachable in this cloth."""
        cards = [card for card in self.cards if not card.proposed.is_decided]
        return [card for card in cards if card.proposed.can_accept]

    @property
    def provisional(self) -> str:
        """Why what is proposed is provisional; nothing where it is not."""
        proposal, case = self.proposals.proposal, self.proposals.case
        if proposal is None or case is None or not proposal.corrections:
            return ""
        return proposal.warnings[0] if case.body.still_open else ""


def room(fitting: Fitting, unit: str, *, bound: Bound = None, refusal: str = "") -> dict[str, Any]:
    """All that the page of this fitting shows. The number of queries does not grow with it."""
    whole, *both = every_side(fitting)
    shop, rest = Catalogue.now(), at_rest(fitting.order.customer)
    sides = (whole, *both)
    taken_back = list(
        fitting.entries.filter(removed_at__isnull=False).select_related("made_by", "removed_by")
    )
    undo = last_step(fitting)
    panels = [_panel(fitting, side, taken_back, unit, shop, rest, bound, refusal) for side in both]
    return {
        "fitting": fitting,
        "unit": unit,
        "care": CARE,
        "despite": DESPITE,
        "steps": _steps(fitting, sides, taken_back, unit, shop, bound),
        "panels": panels,
        "version": fitting.read_against,
        "has_sleeves": has_sleeves(fitting.order.garment),
        "refusal": refusal,
        "undo": undo,
        "undo_words": undo.said(unit) if undo else "",
        **closing(fitting, sides),
    }


def _steps(
    fitting: Fitting,
    sides: Sequence[SideProposals],
    taken_back: list[Entry],
    unit: str,
    shop: Catalogue,
    bound: Bound,
) -> list[Step]:
    """The order of checks, each with what is seen of the garment there."""
    rows = by_check(shop.garment(fitting.order.garment))
    deciding = bound if isinstance(bound, DecisionForm) else None
    standing = sorted((e for side in sides for e in side.entries), key=attrgetter(*Entry.ORDER))

    def line(entry: Entry) -> Line:
        return _line(fitting, entry, unit)

    def card(side: SideProposals, proposed: AnyProposed) -> Card:
        mine = deciding if deciding and deciding.side == side.side else None
        return card_of(side.side, proposed, unit, mine)

    def garment(check: str) -> OnGarment:
        return on_garment(
            check,
            rows=rows.get(check, ()),
            sides=sides,
            taken_back=taken_back,
            unit=unit,
            line=line,
            card=card,
        )

    return steps(fitting, standing, line, garment)


def closing(fitting: Fitting, sides: Sequence[SideProposals]) -> dict[str, Any]:
    """Whether it can be signed and issued, and the sentence where not."""
    ticket: Ticket | None = None
    if fitting.is_signed:
        ticket = fitting.tickets.newest().select_related("pattern_after").first()
    return {
        "sign_refusal": ""
        if fitting.is_signed
        else _sentence(lambda: check_can_sign(fitting, sides)),
        "ticket": ticket,
        "ticket_refusal": _sentence(lambda: check_can_issue(fitting, sides))
        if fitting.is_signed and not ticket
        else "",
        "failing": failing_checks(fitting, sides) if fitting.is_signed and not ticket else [],
    }


def _sentence(check: Callable[[], None]) -> str:
    try:
        check()
    except Refused as refusal:
        return str(refusal)
    return ""


def _panel(
    fitting: Fitting,
    side: SideProposals,
    taken_back: Iterable[Entry],
    unit: str,
    shop: Catalogue,
    rest: Mapping[str, AtRest],
    bound: Bound,
    refusal: str,
) -> Panel:
    mine = bound if bound is not None and bound.side == side.side else None
    reading = mine if isinstance(mine, ReadingForm) else None
    deciding = mine if isinstance(mine, DecisionForm) else None
    cards = [card_of(side.side, proposed, unit, deciding) for proposed in side.proposed]
    lost = deciding is not None and not any(card.open for card in cards)
    return Panel(
        proposals=side,
        lines=[_line(fitting, e, unit) for e in side.entries if e.kind != EntryKind.FINDING],
        taken_back=[
            _line(fitting, e, unit)
            for e in taken_back
            if e.kind != EntryKind.FINDING and e.side == side.side
        ],
        cards=cards,
        kinds=reading_forms(side.side, unit, shop.sleeve(), reading),
        hand=hand_forms(side.side, unit, rest[side.side], reading),
        open_kind=reading.slug if reading else "",
        refusal=refusal if lost else "",
    )


def _line(fitting: Fitting, entry: Entry, unit: str) -> Line:
    return Line(
        entry=entry, words=entry_said(entry, unit), when=when(entry.made_at, fitting.held_on)
    )


def when(moment: dt.datetime, day: dt.date) -> str:
    """The time; with its day when that is not the day of the fitting."""
    local = timezone.localtime(moment)
    return f"{local:%H:%M}" if local.date() == day else f"{local.day} {local:%b %Y, %H:%M}"
