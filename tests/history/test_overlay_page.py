"""The overlay page and its paper: what may be laid over what, and what is refused."""

from math import atan2, degrees
from typing import Any

import pypdfium2
import pytest
from django.urls import reverse

from patterns.models import PatternVersion
from tests.conftest import Signed
from tests.factories import (
    CustomerFactory,
    OrderFactory,
    PatternFactory,
    PatternVersionFactory,
    sides,
)

pytestmark = pytest.mark.django_db


def later(before: PatternVersion, **sleeve: Any) -> PatternVersion:
    changed = sides()
    changed["left"]["sleeve"] |= sleeve
    made: PatternVersion = PatternVersionFactory(
        pattern=before.pattern, number=before.number + 1, parent=before, sides=changed
    )
    return made


def address(version: PatternVersion, name: str = "pattern-overlay") -> str:
    return reverse(name, args=[version.pattern_id, version.number])


def side_of(page: str, side: str) -> str:
    return page.partition(f'id="overlay-{side}"')[2].partition("</section>")[0]


def test_an_unchanged_side_is_said_to_be_the_same(fitter: Signed) -> None:
    second = later(PatternVersionFactory(), length_mm=660)
    page = fitter[0].get(address(second)).content.decode()
    assert "The lines of the sleeve are the same." in side_of(page, "right")
    assert "The lines of the sleeve are the same." not in side_of(page, "left")


def test_the_version_it_came_from_is_laid_under_it_unless_another_is_chosen(
    fitter: Signed,
) -> None:
    first = PatternVersionFactory()
    third = later(later(first, length_mm=650), length_mm=660)
    usual = fitter[0].get(address(third)).content.decode()
    assert f"Broken, thin: {third.parent}" in usual
    chosen = fitter[0].get(address(third), {"over": first.pk}).content.decode()
    assert f"Broken, thin: {first}" in chosen


def test_a_longer_sleeve_is_cloth_added_at_the_cuff_in_the_readers_unit(fitter: Signed) -> None:
    client, user = fitter
    user.units = "mm"
    user.save()
    before = PatternVersionFactory()
    # 20 mm at the cuff and nothing else: the elbow stays, and so does the bend of the forearm.
    elbow = 0.556 * 640
    after = later(before, length_mm=660, elbow_mm=elbow, bend_deg=degrees(atan2(50.8, 640 - elbow)))
    left = side_of(client.get(address(after)).content.decode(), "left")
    cuff, _, marks = left.partition("Top sleeve, cuff")[2].partition("</tr>")
    assert "none" in cuff  # taken away
    assert 'middle of the cuff <span class="amount">+ 20 mm</span>' in marks
    head = left.partition("Top sleeve, head")[2].partition("</tr>")[0]
    assert head.count("none") == 2


def test_patterns_of_the_same_customer_are_offered_and_of_others_not(fitter: Signed) -> None:
    customer = CustomerFactory()
    coat, overcoat, strange = (PatternVersionFactory() for _ in range(3))
    for version in (coat, overcoat):
        OrderFactory(customer=customer, pattern_version=version)
    OrderFactory(pattern_version=strange)
    page = fitter[0].get(address(coat)).content.decode()
    assert str(overcoat) in page
    assert str(strange) not in page
    refused = fitter[0].get(address(coat), {"over": strange.pk})
    assert refused.status_code == 422


def test_a_branch_is_laid_over_what_it_came_from_and_the_other_way_round(fitter: Signed) -> None:
    source = PatternVersionFactory()
    branch = PatternVersionFactory(
        pattern=PatternFactory(branched_from=source), parent=source, sides=source.sides
    )
    assert str(source) in fitter[0].get(address(branch)).content.decode()
    assert str(branch) in fitter[0].get(address(source)).content.decode()


def test_a_pattern_with_nothing_beside_it_says_so(fitter: Signed) -> None:
    answer = fitter[0].get(address(PatternVersionFactory()))
    assert answer.status_code == 200
    assert "There is no other version to lay it over" in answer.content.decode()


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"second": "crown"}, "Choose the point that is laid on first"),
        ({"first": "crown", "second": "crown"}, "This is the first point again"),
        ({"first": "button"}, "button"),
    ],
)
def test_points_that_make_no_sense_are_refused_in_words(
    fitter: Signed, asked: dict[str, str], told: str
) -> None:
    second = later(PatternVersionFactory(), length_mm=660)
    answer = fitter[0].get(address(second), asked)
    assert answer.status_code == 422
    assert told in answer.content.decode()


def test_two_points_shift_and_turn_and_say_how_far_apart_they_came(fitter: Signed) -> None:
    client, user = fitter
    user.units = "mm"
    user.save()
    second = later(PatternVersionFactory(), length_mm=660)
    page = client.get(address(second), {"first": "hindarm top", "second": "hindarm cuff"})
    left = side_of(page.content.decode(), "left")
    assert "farther apart now" in left
    assert 'data-line="pinned"' in left
    assert 'data-line="old"' in left


def test_a_part_alone_is_answered_when_the_page_asks_for_it(fitter: Signed) -> None:
    second = later(PatternVersionFactory(), length_mm=660)
    part = fitter[0].get(address(second), headers={"HX-Request": "true"}).content.decode()
    assert part.startswith('<div id="overlaid"')
    assert "<html" not in part


def test_the_true_size_paper_shows_both_lines_and_no_line_to_cut(fitter: Signed) -> None:
    second = later(PatternVersionFactory(), length_mm=660)
    answer = fitter[0].get(address(second, "pattern-overlay-paper"))
    assert answer["Content-Type"] == "application/pdf"
    document = pypdfium2.PdfDocument(answer.content)
    words = " ".join(page.get_textpage().get_text_range() for page in document)
    assert f"old line: {second.parent}" in words
    assert "line as it was" in words
    assert "line to cut" not in words
    assert "wearer's left" in words
