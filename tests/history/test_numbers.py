"""The numbers of a pattern through its versions: what changed is marked, in the reader's unit."""

import csv
import io
from typing import Any

import pytest
from django.urls import reverse

from patterns.models import PatternVersion
from patterns.through_versions import lines
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import PatternVersionFactory, sides

pytestmark = pytest.mark.django_db


def later(before: PatternVersion, *, both: bool = False, **sleeve: Any) -> PatternVersion:
    changed = sides()
    for side in ("left", "right") if both else ("left",):
        changed[side]["sleeve"] = before.sides[side]["sleeve"] | sleeve
    made: PatternVersion = PatternVersionFactory(
        pattern=before.pattern,
        number=before.pattern.versions.count() + 1,
        parent=before,
        sides=changed,
    )
    return made


def test_one_version_changed_nothing(fitter: Signed) -> None:
    version = PatternVersionFactory()
    assert not any(line.moved for line in lines([version]))
    page = fitter[0].get(reverse("pattern-numbers", args=[version.pattern_id])).content.decode()
    assert "No number changed" in page


def test_a_number_is_one_line_while_both_sides_are_alike_and_two_when_they_part() -> None:
    first = PatternVersionFactory()
    second = later(first, both=True, length_mm=650)
    length = [line for line in lines([first, second]) if line.what.startswith("Length")]
    assert [line.side for line in length] == [""]
    third = later(second, length_mm=655)
    length = [line for line in lines([first, second, third]) if line.what.startswith("Length")]
    assert [line.side for line in length] == ["left", "right"]
    assert [[cell.changed for cell in line.cells] for line in length] == [
        [False, True, True],
        [False, True, True],  # the third took the right back to what it was at first
    ]


def test_changed_is_said_against_the_version_it_was_made_from_and_not_the_one_before() -> None:
    first = PatternVersionFactory()
    second = later(first, length_mm=650)
    third = later(first, crown_height_mm=165)  # made anew from the first
    left = {line.what: line for line in lines([first, second, third]) if line.side == "left"}
    length = left["Length, crown to cuff"]
    assert [cell.changed for cell in length.cells] == [False, True, False]
    assert [cell.value.size for cell in length.cells if cell.value] == [640, 650, 640]


def test_the_table_marks_what_changed_in_words_and_leaves_out_what_never_did(
    fitter: Signed,
) -> None:
    client, user = fitter
    user.units = "mm"
    user.save()
    second = later(PatternVersionFactory(), both=True, notch_shift_mm=8)
    url = reverse("pattern-numbers", args=[second.pattern_id])
    page = client.get(url).content.decode()
    row = page.partition("Notches moved along the armhole")[2].partition("</tr>")[0]
    assert "8 mm" in row
    assert "cuff forward" in row
    assert ">changed<" in row
    assert "Armhole girth" not in page
    assert "Armhole girth" in client.get(url, {"all": "1"}).content.decode()


def test_the_file_has_a_row_for_each_number_side_and_version_in_the_readers_unit(
    fitter: Signed,
) -> None:
    client, user = fitter
    user.units = "in"
    user.save()
    second = later(PatternVersionFactory(), notch_shift_mm=-25.4, length_mm=635)
    answer = client.get(reverse("pattern-numbers", args=[second.pattern_id]), {"as": "csv"})
    assert answer["Content-Type"].startswith("text/csv")
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    wanted = {
        (row["version"], row["side"]): row
        for row in rows
        if row["number"] == "Notches moved along the armhole"
    }
    left, right = wanted["2", "wearer's left"], wanted["2", "wearer's right"]
    assert (left["amount"], left["unit"], left["way"], left["changed"]) == (
        "1",
        "in",
        "cuff back",
        "changed",
    )
    assert (right["amount"], right["changed"]) == ("0", "")
    assert len(wanted) == 4
    lengths = {row["amount"] for row in rows if row["number"].startswith("Length")}
    assert lengths == {"25", "25.197"}  # 635 and 640 mm of 25.4


def test_a_version_that_cannot_be_drawn_does_not_hide_the_others(fitter: Signed) -> None:
    first = PatternVersionFactory()
    broken = sides()
    broken["left"]["armhole"]["girth_mm"] = 0
    PatternVersionFactory(pattern=first.pattern, number=2, parent=first, sides=broken)
    answer = fitter[0].get(reverse("pattern-numbers", args=[first.pattern_id]), {"all": "1"})
    assert answer.status_code == 200
    assert "not drawn" in answer.content.decode()
    assert "64" in answer.content.decode()


def test_versions_are_paged_by_as_many_queries_however_many(fitter: Signed) -> None:
    version = PatternVersionFactory()
    url = reverse("pattern-numbers", args=[version.pattern_id])

    def asked() -> int:
        return queries_of(fitter[0], url)

    few = asked()
    for _ in range(8):
        version = later(version, length_mm=641)
    assert asked() == few
    assert b"Page 1 of 2" in fitter[0].get(url).content
