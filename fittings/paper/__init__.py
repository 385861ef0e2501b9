"""The printed work ticket: the issued content laid out on A4 or A5 and written as a tagged PDF."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any, Final

from django.conf import settings as shop_settings
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop
from weasyprint import Document

from fittings.models import Language, LanguageCheck, Ticket
from fittings.paper.code import address, code_image
from fittings.paper.drawings import SideDrawn
from fittings.paper.marks import BAR, KEY, STRIKE
from fittings.paper.pictures import pictures
from fittings.paper.press import laid_out, written
from fittings.paper.sheets import sheets
from fittings.paper.typesetting import Setting, fitted, settings_for
from fittings.paper.words import is_english, say
from fittings.photographs.attached import are_withheld
from fittings.refusals import Refused

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
        return written(_laid_out(ticket, unit, superseded_by, size))


def _locale(language: str) -> str:
    return "en-gb" if language == Language.ENGLISH else str(language)


def _laid_out(ticket: Ticket, unit: str, superseded_by: int | None, size: str) -> Document:
    if not ticket.content.get("lines"):
        raise Refused("No line of work stands on this ticket: there is nothing to print.")
    said = sheets(ticket.content, unit, ticket.last_content)
    page = _page(ticket, superseded_by) | _in_its_language(ticket.content)
    page |= {"asked_elsewhere": said.asked_elsewhere, "differs": said.differs, "unit": unit}
    drawn = [SideDrawn.of(sheet, ticket.content) for sheet in said.sides]

    def lay_out(setting: Setting) -> Document:
        sides = [side.at(setting.scales) for side in drawn]
        html = render_to_string("paper/ticket.html", page | {"setting": setting, "sides": sides})
        return laid_out(html, size)

    is_crowded = any(side.is_crowded for side in drawn)
    settings = settings_for(size, is_english=is_english(), is_crowded=is_crowded)
    return fitted(settings, lay_out, sides=len(drawn))


def _page(ticket: Ticket, superseded_by: int | None) -> dict[str, Any]:
    """What every page of the paper says."""
    content = ticket.content
    typed = (content["order"]["cloth"], content["order"]["style"])
    return {
        "ticket": ticket,
        "made_of": ", ".join(filter(None, typed)),
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
        "shop": shop_settings.SHOP_NAME,
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


def _day(iso: str | None) -> dt.date | None:
    return dt.date.fromisoformat(iso) if iso else None
