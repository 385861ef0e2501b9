"""Papers in four languages: as many pages as in English, large enough, in fonts of our own."""

from io import BytesIO

import pdfplumber
import pytest
from django.utils import translation
from django.utils.translation import gettext
from pypdf import PdfReader

from fittings.models import Ticket
from fittings.paper import ticket_pdf
from fittings.paper.words import say_each
from tests.demo import open_demo
from tests.languages.test_words import WRITTEN, sentences
from tests.ticket.worked import LEFT_FORWARD, cuff, issued

LANGUAGES = ("en", "it", "tr", "es")
POINTS = {"A4": 12.0, "A5": 11.0}
# What a line of work says in sentences begins with these.
BEGUN = {
    "en": ("Look out", "Do ", "With it", "Why", "Expected"),
    "es": ("Atención", "Hacer", "Con ello", "Por qué", "Se espera"),
}
DRAFTED = (
    "Words drafted by a machine, not yet checked by a speaker of this language: if in doubt, ask."
)
# The hardest tickets of the demo shop: several lines, levels that differ, photographs.
CROWDED = ("T-0015", "T-0031")


def pages_in(ticket: Ticket, language: str, *, size: str = "A4") -> int:
    pdf = ticket_pdf(ticket, unit="both", size=size, language=language)
    return len(PdfReader(BytesIO(pdf)).pages)


@pytest.mark.django_db(transaction=True)
def test_a_ticket_of_the_demo_shop_takes_as_many_pages_as_in_english() -> None:
    open_demo()
    for ticket in Ticket.objects.newest().filter(number__in=CROWDED):
        pages = {language: pages_in(ticket, language) for language in LANGUAGES}
        assert set(pages.values()) == {pages["en"]}, (str(ticket), pages)


@pytest.mark.django_db(transaction=True)
def test_tickets_of_the_demo_shop_quote_only_what_was_typed() -> None:
    open_demo()
    found = [ticket.content for ticket in Ticket.objects.all()]
    english = {one for content in found for line in content["lines"] for one in sentences(line)}
    english |= {q.partition(": ")[2] for content in found for q in content["questions"]}
    english |= {check["sentence"] for content in found for check in content["checks"]}
    assert len(english) > 100
    for language, mark in WRITTEN.items():
        with translation.override(language):
            assert not {one for one in english if mark in say_each(one, "mm")}


@pytest.mark.django_db
@pytest.mark.parametrize("size", POINTS)
@pytest.mark.parametrize("language", BEGUN)
def test_what_is_worked_by_is_never_set_smaller_to_save_a_page(size: str, language: str) -> None:
    """Labels of the drawings, their key and the cautions apart."""
    ticket = issued(
        [*LEFT_FORWARD, ("left", {"what": "length", "amount_mm": 8}), ("right", cuff(-40))]
    )
    pdf = ticket_pdf(ticket, unit="both", size=size, language=language)
    sizes = begun_with(pdf, BEGUN[language])
    assert len(sizes) >= 3 * len(BEGUN[language]) - 2
    assert min(sizes) >= POINTS[size] - 0.01


def begun_with(pdf: bytes, words: tuple[str, ...]) -> list[float]:
    """Points of the first letter of each line that begins so."""
    with pdfplumber.open(BytesIO(pdf)) as opened:
        lines = [line for page in opened.pages for line in page.extract_text_lines()]
    return [line["chars"][0]["size"] for line in lines if line["text"].startswith(words)]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("language", "letters"),
    [("en", "’é"), ("it", "àèéìòù"), ("tr", "ğışİĞŞçöü"), ("es", "ñ¿¡áéíóú")],
)
def test_every_letter_of_a_language_is_in_a_font_of_our_own(language: str, letters: str) -> None:
    """A letter that no font of ours has would bring in one of the machine's, or an empty box."""
    ticket = issued(LEFT_FORWARD)
    ticket.content["order"]["style"] = letters
    pdf = ticket_pdf(ticket, unit="both", language=language)
    with pdfplumber.open(BytesIO(pdf)) as opened:
        chars = [char for page in opened.pages for char in page.chars]
    fonts = {char["fontname"].partition("+")[2] or char["fontname"] for char in chars}
    assert all("Atkinson" in font and "Hyperlegible" in font for font in fonts), fonts
    assert set(letters) <= {char["text"] for char in chars}
    assert not {char["text"] for char in chars} & {"\x00", "\ufffd"}
    with translation.override(language), pdfplumber.open(BytesIO(pdf)) as opened:
        drafted = gettext(DRAFTED).split()[0] in opened.pages[0].extract_text().split()
    assert drafted == (language != "en")
