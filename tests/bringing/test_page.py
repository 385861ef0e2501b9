"""The page that brings a drawing in: looked at first, saved second, refused in a sentence."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.urls import reverse

from patterns.bringing.offer import read_file
from patterns.bringing.understanding import understand
from patterns.geometry.path import Path
from patterns.models import PatternVersion
from patterns.rules.correction import Operation
from patterns.rules.pattern import Change, SidePattern
from patterns.rules.pieces import two_piece
from tests.bringing.files import TOP, UNDER, group, svg
from tests.conftest import Signed
from tests.factories import PatternVersionFactory

pytestmark = pytest.mark.django_db


def address(version: PatternVersion) -> str:
    return reverse("pattern-bring-in", args=[version.pattern_id])


def sent(fitter: Signed, version: PatternVersion, data: bytes, name: str = "a.svg") -> HttpResponse:
    file = SimpleUploadedFile(name, data)
    answer: HttpResponse = fitter[0].post(address(version), {"file": file})
    return answer


def saved(fitter: Signed, version: PatternVersion, **chosen: str) -> HttpResponse:
    form = {"save": "1", "left": "file", "right": "file", "note": "from paper", "offered": "1"}
    answer: HttpResponse = fitter[0].post(address(version), form | chosen)
    return answer


@pytest.fixture
def version(db: None) -> PatternVersion:
    made: PatternVersion = PatternVersionFactory()
    return made


def test_nothing_is_saved_before_it_was_looked_at(fitter: Signed, version: PatternVersion) -> None:
    assert sent(fitter, version, svg()).status_code == 302
    assert PatternVersion.objects.count() == 1
    page = fitter[0].get(address(version)).content.decode()
    assert "What was understood of a.svg" in page
    assert page.count("<svg") == 4
    assert "Not drawn on the head" in page


def test_what_was_looked_at_becomes_the_next_version(
    fitter: Signed, version: PatternVersion
) -> None:
    sent(fitter, version, svg())
    answer = saved(fitter, version)
    newest = PatternVersion.objects.get(number=2)
    assert answer["Location"] == newest.get_absolute_url()
    assert newest.parent == version
    assert newest.note == "from paper"
    assert newest.made_by == fitter[1]
    side = SidePattern.read(newest.sides["left"])
    assert side.armhole.height_mm == pytest.approx(170.0, abs=0.1)
    assert two_piece(side).top.width_mm("cuff") == pytest.approx(133.2, abs=0.1)
    assert fitter[0].get(newest.get_absolute_url()).status_code == 200
    page = fitter[0].get(address(version)).content.decode()
    assert "What was understood" not in page


def test_a_version_brought_in_is_altered_like_any_other(
    fitter: Signed, version: PatternVersion
) -> None:
    sent(fitter, version, svg())
    saved(fitter, version)
    side = SidePattern.read(PatternVersion.objects.get(number=2).sides["left"])
    longer = side.with_change(Change(operation=Operation.LENGTH, shift_mm=10))
    kept = SidePattern.read(longer.written())
    moved = (
        two_piece(kept).top.points_mm["forearm cuff"]
        - two_piece(side).top.points_mm["forearm cuff"]
    )
    assert float((moved @ moved) ** 0.5) == pytest.approx(10.0, abs=0.05)


def test_one_side_alone_leaves_the_other(fitter: Signed, version: PatternVersion) -> None:
    sent(fitter, version, svg())
    saved(fitter, version, right="now")
    newest = PatternVersion.objects.get(number=2)
    assert newest.sides["right"] == version.sides["right"]
    assert newest.sides["left"] != version.sides["left"]


def test_choosing_neither_side_is_refused_and_the_drawing_is_kept(
    fitter: Signed, version: PatternVersion
) -> None:
    sent(fitter, version, svg())
    answer = saved(fitter, version, left="now", right="now", note="typed already")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "choose at least one side" in page
    assert "typed already" in page
    assert saved(fitter, version).status_code == 302


def test_a_side_that_is_not_in_the_file_cannot_be_asked_for(
    fitter: Signed, version: PatternVersion
) -> None:
    body = group("top sleeve left", TOP) + group("under sleeve left", UNDER)
    sent(fitter, version, svg(body))
    assert saved(fitter, version, left="right").status_code == 422
    assert saved(fitter, version, left="left", right="left").status_code == 302


def test_a_bad_file_is_refused_in_a_sentence_and_what_was_read_before_is_still_there(
    fitter: Signed, version: PatternVersion
) -> None:
    sent(fitter, version, svg())
    answer = sent(fitter, version, b"GIF89a", name="b.gif")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "neither an SVG nor a DXF" in page
    assert "What was understood of a.svg" in page
    assert saved(fitter, version).status_code == 302


@pytest.mark.parametrize("data", [b"", b" " * 2_100_000])
def test_an_empty_or_huge_file_is_refused(
    fitter: Signed, version: PatternVersion, data: bytes
) -> None:
    assert sent(fitter, version, data).status_code == 422
    assert fitter[0].post(address(version), {}).status_code == 422


def test_a_file_name_cannot_carry_markup(fitter: Signed, version: PatternVersion) -> None:
    sent(fitter, version, svg(), name="<b>x.svg")
    page = fitter[0].get(address(version)).content.decode()
    assert "<b>x.svg" not in page
    assert "&lt;b&gt;x.svg" in page


def test_saving_beside_a_newer_version_is_refused(fitter: Signed, version: PatternVersion) -> None:
    sent(fitter, version, svg())
    PatternVersionFactory(pattern=version.pattern, number=2, parent=version)
    answer = saved(fitter, version)
    assert answer.status_code == 422
    assert "newer version" in answer.content.decode()
    assert PatternVersion.objects.count() == 2


def test_leaving_it_forgets_the_drawing(fitter: Signed, version: PatternVersion) -> None:
    sent(fitter, version, svg())
    fitter[0].post(address(version), {"leave": "1"})
    assert "What was understood" not in fitter[0].get(address(version)).content.decode()
    assert saved(fitter, version).status_code == 302  # back to the page, nothing made
    assert PatternVersion.objects.count() == 1


def test_somebody_elses_drawing_is_not_shown(
    fitter: Signed, owner: Signed, version: PatternVersion
) -> None:
    sent(fitter, version, svg())
    assert "What was understood" not in owner[0].get(address(version)).content.decode()


def test_the_workroom_and_a_retired_pattern_have_no_such_page(
    fitter: Signed, workroom: Signed, version: PatternVersion
) -> None:
    assert workroom[0].get(address(version)).status_code == 404
    version.pattern.retired_on = version.pattern.made_on
    version.pattern.save()
    assert fitter[0].get(address(version)).status_code == 404


def test_a_version_brought_in_is_handed_out_and_comes_back_the_same(
    fitter: Signed, version: PatternVersion
) -> None:
    """Through the site's own files: the lines that were drawn, not our draft of their numbers."""
    sent(fitter, version, svg())
    saved(fitter, version)
    newest = PatternVersion.objects.get(number=2)
    kept = SidePattern.read(newest.sides["left"])
    for kind in ("svg", "dxf"):
        at = reverse("pattern-drawing", args=[newest.pattern_id, 2])
        drawn = fitter[0].get(at, {"as": kind, "sides": ["left", "right"]})
        assert drawn.status_code == 200, drawn.content[:500]
        back = understand(read_file(drawn.content), "left", kept).side
        for ours, theirs in zip(_edges(kept), _edges(back), strict=True):
            assert theirs.length_mm == pytest.approx(ours.length_mm, abs=0.01)
        assert back.armhole.girth_mm == pytest.approx(kept.armhole.girth_mm, abs=0.01)


def _edges(side: SidePattern) -> list[Path]:
    pieces = two_piece(side)
    return [*pieces.top.edges, *pieces.under.edges]
