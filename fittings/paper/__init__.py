"""The printed work ticket: the issued content laid out on A4 or A5 and written as a tagged PDF."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Self

from django.conf import settings
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop
from weasyprint import Document

from fittings.models import Language, LanguageCheck, Ticket
from fittings.paper.code import address, code_image
from fittings.paper.drawings import Drawn, Scales
from fittings.paper.marks import BAR, KEY, STRIKE
from fittings.paper.pictures import pictures
from fittings.paper.press import laid_out, written
from fittings.paper.sheets import Sheet, sheets
from fittings.paper.words import is_english, say
from fittings.photographs.attached import are_withheld
from fittings.refusals import Refused
from fittings.ticketing import is_on_pattern
from patterns.geometry.refusals import GeometryRefused


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How large the type (a class of `paper.css`) and the drawings are set."""

    type: str
    scales: Scales


# From what is read most easily to what still can be read; the first that keeps to the pages wins.
SETTINGS: Final = (
    Setting(type="roomy", scales=Scales(armhole=4, sleeve=10)),
    Setting(type="large", scales=Scales(armhole=4, sleeve=10)),
    Setting(type="close", scales=Scales(armhole=5, sleeve=12)),
    Setting(type="close", scales=Scales(armhole=6, sleeve=14)),
    Setting(type="close", scales=Scales(armhole=8, sleeve=18)),
)

# Small print at the foot; the workroom's own rules come first.
# The same on half the paper: a side may take two pages rather than be too small to read.
SETTINGS_A5: Final = (
    Setting(type="small", scales=Scales(armhole=6, sleeve=16, widest_mm=132)),
    Setting(type="small", scales=Scales(armhole=8, sleeve=18, widest_mm=132)),
)

CARE: Final = noop(
    "Pins counted, heads outward, none near throat or face. No iron or steam on the body. "
    "Shears closed when passed. Ask before touching; stop on request."
)


def ticket_pdf(
    ticket: Ticket,
    *,
    unit: str,
    superseded_by: int | None = None,
    size: str = "A4",
    language: str = Language.ENGLISH,
) -> bytes:
    """A ticket as PDF: the same content, unit, size, language and standing give the same bytes.

    One page for each side that has work: the drawings get smaller before a side runs over.
    Refuses (Refused) a ticket on which no line of work stands.
    """
    with translation.override(_locale(language)):
        return written(_laid_out(ticket, unit, superseded_by, size)[1])


def ticket_html(
    ticket: Ticket,
    *,
    unit: str,
    superseded_by: int | None = None,
    size: str = "A4",
    language: str = Language.ENGLISH,
) -> str:
    """What `press.joined` takes: the paper as it is best laid out. Refuses as `ticket_pdf`."""
    with translation.override(_locale(language)):
        return _laid_out(ticket, unit, superseded_by, size)[0]


def _locale(language: str) -> str:
    return "en-gb" if language == Language.ENGLISH else str(language)


def _laid_out(
    ticket: Ticket, unit: str, superseded_by: int | None, size: str
) -> tuple[str, Document]:
    if not ticket.content.get("lines"):
        raise Refused("No line of work stands on this ticket: there is nothing to print.")
    said = sheets(ticket.content, unit, ticket.last_content)
    page = _page(ticket, superseded_by)
    page |= _in_its_language(ticket.content)
    page |= {"asked_elsewhere": said.asked_elsewhere, "differs": said.differs}
    drawn = [_SideDrawn.of(sheet, ticket.content) for sheet in said.sides]
    tried: list[tuple[str, Document]] = []
    for setting in _settings(size):
        sides = [side.at(setting.scales) for side in drawn]
        page |= {"setting": setting, "sides": sides}
        html = render_to_string("paper/ticket.html", page)
        tried.append((html, laid_out(html, size)))
        if len(tried[-1][1].pages) <= len(sides):
            break
    return min(tried, key=lambda one: len(one[1].pages))


def _settings(size: str) -> tuple[Setting, ...]:
    """Other languages take more room beside the drawings than English: they begin smaller."""
    if size == "A5":
        return SETTINGS_A5 if is_english() else SETTINGS_A5[1:]
    return SETTINGS if is_english() else SETTINGS[-1:]


def _page(ticket: Ticket, superseded_by: int | None) -> dict[str, Any]:
    """What every page of the paper says."""
    content = ticket.content
    return {
        "ticket": ticket,
        "content": content,
        "held_on": _day(content["fitting"]["held_on"]),
        "due": _day(content["order"]["promised_on"]),
        "superseded_by": superseded_by,
        "address": address(ticket.number, ticket.revision),
        "code": code_image(ticket.number, ticket.revision),
        "marks": KEY,
        "bar": BAR,
        "strike": STRIKE,
        "care": gettext(CARE),
        "photographs": pictures(ticket),
        "withheld": are_withheld(ticket),
        "shop": settings.SHOP_NAME,
    }


def _in_its_language(content: Mapping[str, Any]) -> dict[str, Any]:
    """The shop's own words of the head in the language of the paper, and who checked it."""
    language = translation.get_language() or "en"
    checked = LanguageCheck.objects.filter(language=language).first()
    return {
        "language": language,
        "garment": say(content["order"]["garment"].lower(), "mm"),
        "stage": say(content["fitting"]["stage"].lower(), "mm"),
        "draft": not is_english() and not (checked and checked.is_checked),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class _SideDrawn:
    """One side with what its drawings are made from, or why there are none."""

    sheet: Sheet
    drawn: Drawn | None = None
    undrawn: str = ""

    @classmethod
    def of(cls, sheet: Sheet, content: Mapping[str, Any]) -> Self:
        lines = [line for line in content["lines"] if line["side"] == sheet.side]
        if sheet.side not in content["sides"] or not any(map(is_on_pattern, lines)):
            return cls(sheet=sheet)
        try:
            drawn = Drawn.read(content["sides"][sheet.side], sheet.side, lines)
            return cls(sheet=sheet, drawn=drawn)
        except GeometryRefused as refused:
            return cls(sheet=sheet, undrawn=f"{gettext('No drawing:')} {say(str(refused), 'mm')}")

    def at(self, scales: Scales) -> dict[str, Any]:
        drawn, works = self.drawn, self.sheet.works
        page = {"sheet": self.sheet, "undrawn": self.undrawn}
        if drawn is None:
            return page | {"works": [(work, None) for work in works]}
        pictured = [(work, drawn.armhole(n, scales)) for n, work in enumerate(works)]
        return page | {"works": pictured, "sleeve": drawn.sleeve(scales)}


def _day(iso: str | None) -> dt.date | None:
    return dt.date.fromisoformat(iso) if iso else None
