"""Drafting one side of a pattern again: what is shown, what is refused, what is kept."""

import copy
from typing import Any

import pytest
from django.urls import reverse

from patterns.makings import makings
from patterns.models import PatternVersion
from patterns.rules.document import read_case
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import PatternVersionFactory, sides

pytestmark = pytest.mark.django_db


def address(version: PatternVersion, side: str = "left") -> str:
    return reverse("pattern-draft", args=[version.pattern_id, version.number]) + f"?side={side}"


def shown(fitter: Signed, version: PatternVersion, side: str = "left") -> dict[str, str]:
    """What the page's form holds, as a browser would send it back."""
    form = fitter[0].get(address(version, side)).context["form"]
    found: dict[str, str] = {}
    for field in form:
        value = field.value()
        if value is None or value is False or value == "":
            continue
        found[field.html_name] = "on" if value is True else str(value)
    return found


def posted(
    fitter: Signed, version: PatternVersion, do: str = "save", side: str = "left", **other: str
) -> Any:
    data = {**shown(fitter, version, side), "do": do, "note": "for winter", **other}
    data = {name: value for name, value in data.items() if value != "off"}
    return fitter[0].post(address(version, side), data)


def saved(fitter: Signed, version: PatternVersion, **other: Any) -> PatternVersion:
    answer = posted(fitter, version, **other)
    assert answer.status_code == 302, answer.context["form"].errors
    return PatternVersion.objects.order_by("pk").last()  # type: ignore[return-value]


def test_nothing_chosen_anew_is_no_new_version(fitter: Signed) -> None:
    version = PatternVersionFactory()
    answer = posted(fitter, version)
    assert answer.status_code == 422
    assert "Nothing is changed yet" in answer.content.decode()
    assert PatternVersion.objects.count() == 1


@pytest.mark.parametrize("units", ["cm", "mm", "in"])
def test_what_is_not_altered_keeps_its_exact_millimetres(fitter: Signed, units: str) -> None:
    fitter[1].units = units
    fitter[1].save()
    begun = sides()
    for side in begun.values():
        side["sleeve"] |= {
            "length_mm": 633.37,
            "crown_height_mm": 158.91,
            "elbow_mm": 351.13,
            "bend_deg": 11.7,
            "hindarm_shift_mm": {"head": 7.77, "elbow": -3.33, "cuff": 0.4},
            "notch_shift_mm": 6.1,
            "drafted_hang_deg": 1.5,
        }
    version = PatternVersionFactory(sides=begun)
    made = saved(fitter, version, cuff_girth="260 mm")
    before, after = (SidePattern.read(one.sides["left"]).sleeve for one in (version, made))
    assert after.girth_mm.cuff == 260
    assert after.crown_height_mm == pytest.approx(before.crown_height_mm, abs=1e-6)
    assert after.turning_deg == pytest.approx(before.turning_deg, abs=1e-6)
    for name in ("length_mm", "elbow_mm", "hindarm_shift_mm", "notch_shift_mm", "drafted_hang_deg"):
        assert getattr(after, name) == getattr(before, name)


def test_draft_is_drawn_before_anything_is_kept(fitter: Signed) -> None:
    version = PatternVersionFactory()
    answer = posted(fitter, version, do="draw", cuff_girth="26", note="")
    page = answer.content.decode()
    assert answer.status_code == 200
    assert PatternVersion.objects.count() == 1
    assert page.count("<svg") == 2
    assert page.count('data-line="old"') >= 2
    rows = {row.what: row for row in answer.context["rows"]}
    assert rows["Top sleeve, wide at the cuff"].after_mm == pytest.approx(130)
    assert rows["Top sleeve, wide at the cuff"].before_mm == pytest.approx(135)


def test_ease_chosen_in_percent_is_the_head_that_is_kept(fitter: Signed) -> None:
    made = saved(fitter, PatternVersionFactory(), crown_percent="7,5")
    side = SidePattern.read(made.sides["left"])
    assert two_piece(side).head_length_mm == pytest.approx(480 * 1.075, abs=0.01)


def test_version_is_kept_with_parent_note_words_and_widths(fitter: Signed) -> None:
    version = PatternVersionFactory()
    made = saved(fitter, version, cuff_girth="26", vent_length="9", inlay_cuff="5", seam_head="0.8")
    assert (made.number, made.parent, made.note) == (2, version, "for winter")
    assert made.made_by == fitter[1]
    assert made.sides["left"] == made.sides["right"]
    assert [change["side"] for change in made.changes] == ["left", "right"]
    words = made.changes[0]["words"]
    assert "sleeve girth at the cuff: 10 mm narrower" in words
    kept = makings(made)["right"]
    assert kept is not None
    assert (kept.vent_length_mm, kept.inlay_mm["cuff"], kept.seam_mm["head"]) == (90, 50, 8)


def test_readings_can_be_taken_against_what_was_drafted(fitter: Signed) -> None:
    made = saved(fitter, PatternVersionFactory(), anew="on", chest_girth="97")
    for side in ("left", "right"):
        read_case({"side": side, "readings": [], **made.sides[side]})


def test_widths_are_found_again_on_later_versions_and_branches(fitter: Signed) -> None:
    first = saved(fitter, PatternVersionFactory(), vent_length="9")
    later = PatternVersionFactory(
        pattern=first.pattern, number=3, parent=first, sides=copy.deepcopy(first.sides)
    )
    branch = PatternVersionFactory(parent=later, sides=copy.deepcopy(first.sides))
    for version in (later, branch):
        assert shown(fitter, version)["vent_length"] == "9.0"


def test_one_side_alone_leaves_the_other_to_the_letter(fitter: Signed) -> None:
    version = PatternVersionFactory()
    made = saved(fitter, version, side="right", same="off", length="65")
    assert made.sides["left"] == version.sides["left"]
    assert made.sides["right"]["sleeve"]["length_mm"] == 650
    assert [change["side"] for change in made.changes] == ["right"]


def test_sides_that_differ_are_not_made_alike_unasked(fitter: Signed) -> None:
    unlike = sides()
    unlike["right"]["sleeve"]["length_mm"] = 655
    version = PatternVersionFactory(sides=unlike)
    assert "same" not in shown(fitter, version)
    made = saved(fitter, version, cuff_girth="26")
    assert made.sides["right"] == unlike["right"]
    both = saved(fitter, version, same="on")
    assert both.sides["right"]["sleeve"]["length_mm"] == 640


def test_seam_goes_the_way_that_is_said(fitter: Signed) -> None:
    made = saved(
        fitter,
        PatternVersionFactory(),
        hindarm_elbow="1.5",
        forearm_cuff="2",
        forearm_cuff_way="-1",
    )
    sleeve = made.sides["left"]["sleeve"]
    assert sleeve["hindarm_shift_mm"]["elbow"] == 15
    assert sleeve["forearm_shift_mm"]["cuff"] == -20


def test_armhole_is_drafted_anew_from_the_chest(fitter: Signed) -> None:
    # Trade practice, no source: the armhole is about half the chest.
    made = saved(fitter, PatternVersionFactory(), anew="on", chest_girth="97")
    armhole = SidePattern.read(made.sides["left"]).armhole
    assert armhole.girth_mm == pytest.approx(485, rel=0.04)


def test_inches_are_read_where_they_are_used(fitter: Signed) -> None:
    fitter[1].units = "in"
    fitter[1].save()
    made = saved(fitter, PatternVersionFactory(), cuff_girth="10 1/2")
    assert made.sides["left"]["sleeve"]["girth_mm"]["cuff"] == pytest.approx(266.7)


@pytest.mark.parametrize(
    ("other", "field", "sentence"),
    [
        ({"cuff_girth": "40"}, "cuff_girth", "wider than the elbow"),
        ({"biceps_ease": "20"}, "biceps_ease", "cannot be set into an armhole"),
        ({"vent_length": "20"}, "vent_length", "more than half"),
        ({"forward_bend": "25"}, "forward_bend", "can be cut well"),
        ({"elbow": "20"}, "elbow", "is no elbow"),
        ({"crown_percent": "60"}, "crown_ease", "No crown gives"),
        ({"front_percent": "95"}, "front_percent", "cannot hold 95%"),
        ({"hindarm_head": "9"}, "hindarm_head", "move it less"),
        ({"seam_head": "8"}, "seam_head", "cannot be left"),
        ({"anew": "on"}, "chest_girth", "from the chest"),
        ({"anew": "on", "chest_girth": "97", "across_chest": "30"}, "across_chest", "for the arm"),
        ({"length": "long"}, "length", "is not a length"),
        ({"note": ""}, "note", "what it is for"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_lost(
    fitter: Signed, other: dict[str, str], field: str, sentence: str
) -> None:
    version = PatternVersionFactory()
    answer = posted(fitter, version, **{"elbow_girth": "32.5", **other})
    form = answer.context["form"]
    assert answer.status_code == 422
    assert sentence in " ".join(form.errors[field])
    assert form["elbow_girth"].value() == "32.5"
    assert PatternVersion.objects.count() == 1


def test_a_retired_pattern_is_drafted_no_more(fitter: Signed) -> None:
    version = PatternVersionFactory(pattern__retired_on="2026-01-06")
    answer = posted(fitter, version, cuff_girth="26")
    assert answer.status_code == 422
    assert "is retired" in answer.content.decode()
    assert PatternVersion.objects.count() == 1


def test_a_version_that_cannot_be_drawn_says_why(fitter: Signed) -> None:
    broken = sides()
    broken["left"]["sleeve"]["girth_mm"]["biceps"] = 600
    answer = fitter[0].get(address(PatternVersionFactory(sides=broken)))
    assert answer.status_code == 200
    assert "cannot be set into an armhole" in answer.content.decode()


def test_an_unusual_draft_is_drawn_and_told(fitter: Signed) -> None:
    answer = posted(fitter, PatternVersionFactory(), do="draw", biceps_ease="2")
    assert answer.status_code == 200
    assert "2.0 cm over the upper arm is not usual" in answer.content.decode()


def test_workroom_drafts_no_patterns(workroom: Signed) -> None:
    assert workroom[0].get(address(PatternVersionFactory())).status_code == 404


def test_page_asks_the_record_as_often_however_many_versions_there_are(fitter: Signed) -> None:
    version = PatternVersionFactory()

    def queries(of: PatternVersion) -> int:
        return queries_of(fitter[0], address(of))

    one = queries(version)
    for number in range(2, 8):
        version = PatternVersionFactory(pattern=version.pattern, number=number, parent=version)
    assert queries(version) == one <= 5
