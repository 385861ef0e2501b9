"""The print page: what can be wished for, what is refused beside its field, what comes out."""

import html
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from patterns.geometry.making import Making
from patterns.makings import draft_change
from patterns.models import PatternVersion
from tests.conftest import Signed
from tests.factories import PatternVersionFactory, sides
from tests.handover.reading import Printed


def _get(client: Client, name: str, version: PatternVersion, **asked: Any) -> Any:
    return client.get(reverse(name, args=[version.pattern_id, version.number]), asked)


def _words(answer: Any) -> str:
    return html.unescape(answer.content.decode())


def test_page_opens_with_the_usual_and_shows_pages_and_map(
    workroom: Signed, version: PatternVersion
) -> None:
    answer = _get(workroom[0], "pattern-print", version)
    assert answer.status_code == 200
    assert re.search(r"\d+ pages of A4", _words(answer))
    assert "map of the pages" in _words(answer)


def test_page_says_as_many_pages_as_the_paper_has(
    workroom: Signed, version: PatternVersion
) -> None:
    for paper in ("a4", "letter"):
        asked = {"side": "left", "paper": paper}
        said = re.search(
            r"(\d+) pages of", _words(_get(workroom[0], "pattern-print", version, **asked))
        )
        paper_answer = _get(workroom[0], "pattern-paper", version, **asked)
        assert said is not None
        assert len(Printed(paper_answer.content).sizes) == int(said[1])


def test_htmx_gets_the_form_alone(workroom: Signed, version: PatternVersion) -> None:
    address = reverse("pattern-print", args=[version.pattern_id, version.number])
    answer = workroom[0].get(address, headers={"HX-Request": "true"})
    assert answer.content.decode().strip().startswith('<div id="print_sheet"')


@pytest.mark.parametrize(
    ("name", "asked", "kind", "begins"),
    [
        ("pattern-paper", {}, "application/pdf", b"%PDF"),
        ("pattern-paper", {"as": "plate"}, "application/pdf", b"%PDF"),
        ("pattern-paper", {"paper": "roll"}, "application/pdf", b"%PDF"),
        ("pattern-drawing", {}, "image/svg+xml", b"<?xml"),
        ("pattern-drawing", {"as": "dxf"}, "image/vnd.dxf", b"  0\nSECTION"),
    ],
)
def test_files_come_as_what_they_are_with_a_name_that_says_which(
    workroom: Signed,
    version: PatternVersion,
    name: str,
    asked: dict[str, str],
    kind: str,
    begins: bytes,
) -> None:
    answer = _get(workroom[0], name, version, side="left", **asked)
    assert answer.status_code == 200
    assert answer["Content-Type"] == kind
    assert answer.content.startswith(begins)
    assert f'"{version.pattern.number}-version-2-left-' in answer["Content-Disposition"]


def test_old_line_comes_when_ticked_and_stays_away_when_not(
    workroom: Signed, version: PatternVersion
) -> None:
    with_it = _get(workroom[0], "pattern-drawing", version, side="left", old_line="on")
    without = _get(workroom[0], "pattern-drawing", version, side="left")
    assert b'data-layer="OLD"' in with_it.content
    assert b"old line: version 1" in with_it.content
    assert b'data-layer="OLD"' not in without.content


def test_side_left_as_it_was_has_an_old_line_but_nothing_hatched(
    workroom: Signed, version: PatternVersion
) -> None:
    answer = _get(workroom[0], "pattern-drawing", version, side="right", old_line="on")
    assert b'data-layer="OLD"' in answer.content
    assert b'data-layer="ADDED"' not in answer.content
    assert b'data-layer="TAKEN"' not in answer.content


def test_first_version_offers_no_old_line(workroom: Signed, version: PatternVersion) -> None:
    assert version.parent is not None
    assert "old line" not in _words(_get(workroom[0], "pattern-print", version.parent))


def test_inlay_is_read_with_comma_and_unit_and_written_on_the_piece(
    workroom: Signed, version: PatternVersion
) -> None:
    asked = {"side": "left", "under_sleeve_hindarm": "22,5 mm"}
    answer = _get(workroom[0], "pattern-drawing", version, **asked)
    assert answer.content.count(b"inlay 22.5 more") == 1


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"side": "middle"}, "Select a valid choice"),
        ({"paper": "a5"}, "Select a valid choice"),
        ({"seam_mm": "wide"}, "Enter a number"),
        ({"seam_mm": "nan"}, "Enter a number"),
        ({"seam_mm": "-1"}, "greater than or equal to 0"),
        ({"seam_mm": "400"}, "less than or equal to 40"),
        ({"cuff": "1e9"}, "less than or equal to 150"),
        ({"paper": "roll", "roll_mm": ""}, "Write how wide the roll is."),
        ({"paper": "roll", "roll_mm": "200"}, "needs a roll of at least"),
    ],
)
@pytest.mark.parametrize("name", ["pattern-print", "pattern-paper", "pattern-drawing"])
def test_bad_value_is_refused_with_a_sentence_beside_the_field(
    workroom: Signed, version: PatternVersion, name: str, asked: dict[str, str], sentence: str
) -> None:
    answer = _get(workroom[0], name, version, **asked)
    assert answer.status_code == 422
    assert sentence in _words(answer)
    assert 'aria-invalid="true"' in _words(answer)


def test_sleeve_that_cannot_be_drafted_is_refused_in_words(workroom: Signed) -> None:
    impossible = sides()
    impossible["left"]["sleeve"]["girth_mm"]["biceps"] = 500
    version = PatternVersionFactory(sides=impossible)
    answer = _get(workroom[0], "pattern-paper", version, side="left")
    assert answer.status_code == 422
    assert "cannot be set into an armhole of 480 mm" in _words(answer)


def test_version_that_is_not_there_and_strangers_get_nothing(
    workroom: Signed, version: PatternVersion
) -> None:
    address = reverse("pattern-paper", args=[version.pattern_id, 99])
    assert workroom[0].get(address).status_code == 404
    assert Client().get(address).status_code == 302


def test_page_opens_with_the_seam_and_inlays_chosen_at_the_draft(workroom: Signed) -> None:
    drafted = PatternVersionFactory()
    making = Making(
        seam_mm={"head": 8, "hindarm": 8, "forearm": 8, "cuff": 0},
        inlay_mm={"cuff": 37, "top_sleeve_head": 0},
    )
    version = PatternVersionFactory(
        pattern=drafted.pattern,
        number=2,
        parent=drafted,
        changes=[draft_change("left", making, [])],
    )
    page = _words(_get(workroom[0], "pattern-print", version))
    assert re.search(r'name="seam_mm"[^>]*value="8"|value="8"[^>]*name="seam_mm"', page)
    assert re.search(r'name="cuff"[^>]*value="37"|value="37"[^>]*name="cuff"', page)
