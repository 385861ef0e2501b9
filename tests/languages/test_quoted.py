"""What a paper still quotes in English: the words that people typed, and nothing of the rules."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.utils import translation

from fittings.models import Side
from fittings.paper.sheets import sheets
from fittings.paper.words import lifted, say_each
from tests.languages.sources import measured, sentences_of_findings, sentences_of_sources
from tests.languages.test_words import LANGUAGES, WRITTEN, catalogue
from tests.languages.worked import every_line

HOUSE = Path(__file__).parents[2]
SHEETS = HOUSE / "templates" / "paper"
PUT_TOGETHER = re.compile(r"{%\s*translate\s+(?:\"([^\"]+)\"|'([^']+)')")
BLOCKS = re.compile(r"{%\s*blocktranslate[^%]*%}(.*?){%\s*endblocktranslate\s*%}", re.DOTALL)


@pytest.fixture(scope="module")
def of_the_rules() -> list[str]:
    return [*sentences_of_sources(), *sentences_of_findings()]


@pytest.mark.parametrize("language", LANGUAGES)
def test_refusals_failing_checks_and_questions_are_said_in_the_language(
    language: str, of_the_rules: list[str]
) -> None:
    assert len(set(of_the_rules)) > 300
    assert len(measured()) > 20
    with translation.override(language):
        untold = {one for one in of_the_rules if WRITTEN[language] in say_each(one, "mm")}
    assert untold == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_own_words_inside_a_sentence_are_quoted_and_the_rest_is_said(language: str) -> None:
    """A finding of the shop's own, that was called and told by somebody here."""
    own = f"“Pocket gapes” {WRITTEN[language]}"
    with translation.override(language):
        assert say_each("Pocket gapes: by how much?", "mm").startswith(f"{own}: ")
        told = say_each("The pocket gapes. Amount as read at the fitting.", "mm")
    assert told.startswith(f"“The pocket gapes.” {WRITTEN[language]} ")
    assert "Amount" not in told


@pytest.fixture(scope="module")
def everything(of_the_rules: list[str]) -> dict[str, Any]:
    """One ticket with a line of every kind that the rules can write, and every question."""
    kinds = {lifted(line["title"])[0]: line for line in every_line()}
    lines = [{**line, "side": "left", "verdict": "accepted"} for line in kinds.values()]
    asked = [f"{side.label}: {one}" for side in (Side.LEFT, Side.RIGHT) for one in of_the_rules]
    return {"lines": lines, "questions": asked, "order": {"garment": "Coat"}}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_ticket_of_all_that_can_be_worked_and_asked_quotes_nothing(
    language: str, everything: dict[str, Any]
) -> None:
    with translation.override(language):
        said = sheets(everything, "both")
    (left,) = said.sides
    assert len(left.works) > 60
    assert len(left.questions) == len(said.asked_elsewhere) > 300
    assert WRITTEN[language] not in repr(said)


def chrome() -> Iterator[str]:
    """All that the paper says of its own: labels of its templates, and of the code behind them."""
    for sheet in SHEETS.glob("*.html"):
        text = sheet.read_text(encoding="utf-8")
        yield from (one or other for one, other in PUT_TOGETHER.findall(text))
        yield from (re.sub(r"{{ (\w+) }}", r"%(\1)s", one) for one in BLOCKS.findall(text))
    for module in (HOUSE / "fittings" / "paper").glob("*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in (
                "gettext",
                "noop",
                "_told",
            ):
                first = node.args[0]
                said = (first.body, first.orelse) if isinstance(first, ast.IfExp) else (first,)
                yield from (str(one.value) for one in said if isinstance(one, ast.Constant))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_label_of_the_paper_is_translated(language: str) -> None:
    labels = {one.replace("100 %", "100 %%") for one in chrome()}
    assert len(labels) > 70
    assert labels - catalogue(language).keys() == set()
