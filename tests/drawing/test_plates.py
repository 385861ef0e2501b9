"""Both plates: sound SVG, true to scale, legible in black and white, left the mirror of right."""

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st
from shapely import unary_union

from patterns.drawing.armhole import armhole_plate
from patterns.drawing.sleeve import sleeve_plate
from patterns.geometry.armhole import Armhole
from patterns.geometry.draft import draft
from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.sleeve import Girths, IronedShare, Levels, Sleeve
from tests.drawing.reading import SVG, Plate

ARMHOLE = Armhole.from_measures(girth_mm=483, pitch_width_mm=140, pitch_height_mm=65)
SLEEVE = Sleeve(
    girth_mm=Girths(biceps=370, elbow=335, cuff=285), crown_height_mm=158, length_mm=630
)
MOVED = replace(
    SLEEVE,
    notch_shift_mm=8,
    hindarm_shift_mm=Levels.alike(8),
    forearm_shift_mm=Levels(head=10, elbow=12, cuff=12),
)


def armhole_read(after: Sleeve = SLEEVE, side: str = "right", **more: bool) -> Plate:
    return Plate(armhole_plate(ARMHOLE, SLEEVE, after, side=side, scale=0.4, **more))


def sleeve_read(
    after: Sleeve = SLEEVE, side: str = "right", scale: float = 0.2, **more: bool
) -> Plate:
    pieces = [draft(sleeve, ARMHOLE) for sleeve in (SLEEVE, after)]
    return Plate(sleeve_plate(*pieces, side=side, scale=scale, **more))


Reader = Callable[..., Plate]
both_plates = pytest.mark.parametrize("read", [armhole_read, sleeve_read])

levels = st.builds(Levels, head=st.floats(0, 15), elbow=st.floats(0, 15), cuff=st.floats(0, 15))
corrections = st.fixed_dictionaries(
    {
        "notch_shift_mm": st.floats(-10, 20),
        "hindarm_shift_mm": levels,
        "forearm_shift_mm": levels,
        "crown_height_mm": st.floats(148, 168),
        "length_mm": st.floats(610, 650),
        "girth_mm": st.builds(
            Girths, biceps=st.floats(360, 380), elbow=st.floats(325, 345), cuff=st.floats(275, 295)
        ),
        "front_of_head_mm": st.floats(0, 6),
        "under_head_hollow_mm": st.floats(0, 6),
        "hindarm_length_mm": st.floats(-10, 10),
        "ironed_share": st.sampled_from([IronedShare(), IronedShare(hindarm=1, forearm=1)]),
    }
)


def check_words(plate: Plate) -> None:
    """No words on other words, on an outline or a leader, or off the paper."""
    for one, other in combinations(plate.words, 2):
        assert not one.box.intersects(other.box), (one.text, other.text)
    lines = [shape.exterior for name in ("new", "old", "armhole") for shape in plate.outlines(name)]
    lines += plate.strokes("leader")
    ink = unary_union(lines)
    for words in plate.words:
        assert plate.paper.contains(words.box), words.text
        assert not words.box.intersects(ink), words.text


@both_plates
def test_plate_of_no_correction_moves_nothing(read: Reader) -> None:
    plate = read()
    assert not plate.paths("arrow")
    assert not plate.strokes("added")
    assert not plate.strokes("taken away")
    check_words(plate)


def test_plain_sleeve_has_one_line_and_no_key_because_there_is_nothing_to_compare() -> None:
    pieces = draft(SLEEVE, ARMHOLE)
    plate = Plate(sleeve_plate(pieces, pieces, side="left", scale=0.2))
    assert not plate.paths("old")
    assert len(plate.paths("new")) == 2
    assert "line as it was" not in [words.text for words in plate.words]


@both_plates
def test_plate_is_sound_svg_without_style_script_or_ids(read: Reader) -> None:
    plate = read(MOVED)
    assert plate.root.tag == f"{SVG}svg"
    assert plate.root.get("role") == "img"
    assert [child.tag for child in plate.root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert "wearer's right" in (plate.root[0].text or "")
    for element in plate.root.iter():
        assert element.tag not in (f"{SVG}style", f"{SVG}script")
        assert not {"style", "id", "class", "onload"} & set(element.attrib)


@both_plates
def test_size_in_mm_is_the_view_box_so_that_paper_is_true(read: Reader) -> None:
    plate = read(MOVED)
    assert plate.root.attrib["width"] == f"{plate.view[2]:g}mm"
    assert plate.root.attrib["height"] == f"{plate.view[3]:g}mm"


@both_plates
def test_true_mark_is_a_hundred_mm_of_paper(read: Reader) -> None:
    (mark,) = read(MOVED, with_true_mark=True).strokes("true mark")
    assert mark.length == pytest.approx(100)


@pytest.mark.parametrize(("scale", "words"), [(0.2, "1 : 5"), (0.125, "1 : 8"), (1.0, "1 : 1")])
def test_scale_bar_is_a_hundred_mm_of_cloth_and_says_the_scale(scale: float, words: str) -> None:
    plate = sleeve_read(MOVED, scale=scale)
    (bar,) = plate.strokes("scale bar")
    assert bar.length == pytest.approx(100 * scale)
    assert any(f"drawing at {words}; this bar is 100 mm of cloth" in w.text for w in plate.words)


def test_drawn_sleeve_has_its_girth_at_scale() -> None:
    plate = sleeve_read(MOVED)
    top, under = sorted(stroke.length for stroke in plate.strokes("head line"))[::-1]
    assert top + under == pytest.approx(370 * 0.2, abs=0.01)


@both_plates
def test_words_are_large_enough_to_read_on_paper(read: Reader) -> None:
    assert min(words.size for words in read(MOVED).words) >= 2.8


@both_plates
@pytest.mark.parametrize("side", ["left", "right"])
def test_words_lie_clear_for_a_common_correction(read: Reader, side: str) -> None:
    check_words(read(MOVED, side=side))


@settings(max_examples=25, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(
    changes=corrections,
    side=st.sampled_from(["left", "right"]),
    scale=st.sampled_from([0.1, 0.125, 0.2, 0.5]),
)
def test_words_lie_clear_on_the_sleeve_for_any_ordinary_correction(
    changes: dict[str, object], side: str, scale: float
) -> None:
    try:
        plate = sleeve_read(replace(SLEEVE, **changes), side=side, scale=scale)
    except GeometryRefused:
        assume(False)
    check_words(plate)


@settings(max_examples=25, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(changes=corrections, side=st.sampled_from(["left", "right"]))
def test_words_lie_clear_on_the_armhole_for_any_ordinary_correction(
    changes: dict[str, object], side: str
) -> None:
    check_words(armhole_read(replace(SLEEVE, **changes), side=side))


@pytest.mark.parametrize(("read", "name"), [(armhole_read, "armhole"), (sleeve_read, "new")])
def test_left_is_the_mirror_of_right(read: Reader, name: str) -> None:
    right = np.concatenate(read(MOVED, side="right").controls(name))
    left = np.concatenate(read(MOVED, side="left").controls(name))
    assert left[:, 1] == pytest.approx(right[:, 1], abs=2e-3)
    assert np.ptp(left[:, 0] + right[:, 0]) < 5e-3


@pytest.mark.parametrize(("side", "way"), [("right", 1), ("left", -1)])
def test_front_is_on_the_wearers_front_and_said_in_words(side: str, way: int) -> None:
    middle = {words.text: words.middle for words in armhole_read(MOVED, side=side).words}
    assert way * (middle["FRONT"] - middle["BACK"]) > 0
    assert way * (middle["forearm seam"] - middle["hindarm seam"]) > 0
    seams = {words.text: words.middle for words in sleeve_read(MOVED, side=side).words}
    assert way * (seams["forearm seam"] - seams["hindarm seam"]) > 0


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"notch_shift_mm": 8}, {"up 8", "down 8", "to the back 8"}),
        ({"notch_shift_mm": -6.5}, {"down 6.5", "up 6.5", "to the front 6.5"}),
        ({"hindarm_shift_mm": Levels.alike(10)}, {"up 10", "stays"}),
        (
            {"notch_shift_mm": 5, "forearm_shift_mm": Levels.alike(12)},
            {"down 7", "down 5", "to the back 5"},
        ),
    ],
)
def test_armhole_says_in_words_which_way_each_seam_goes(
    changes: dict[str, object], told: set[str]
) -> None:
    # Sleeve geometry, section 2: cuff forward takes the forearm seam up the front, the hindarm
    # seam down the back and the crown back; hindarm out goes up, forearm in goes down.
    said = {words.text for words in armhole_read(replace(SLEEVE, **changes)).words}
    assert told <= said


def test_arrows_point_the_way_the_words_say() -> None:
    plate = armhole_read(replace(SLEEVE, notch_shift_mm=8))
    crown, forearm, hindarm = plate.controls("arrow")
    assert crown[-1, 0] < crown[0, 0]
    assert forearm[-1, 1] < forearm[0, 1]
    assert hindarm[-1, 1] > hindarm[0, 1]


def test_old_and_new_lines_differ_without_colour() -> None:
    plate = sleeve_read(MOVED)
    old, new = plate.paths("old")[0].attrib, plate.paths("new")[0].attrib
    assert "stroke-dasharray" in old
    assert "stroke-dasharray" not in new
    assert float(new["stroke-width"]) >= 2 * float(old["stroke-width"])
    colours = {one.get(mark) for one in plate.root.iter() for mark in ("stroke", "fill")}
    assert colours <= {None, "none", "#000", "#fff"}


def test_hatching_covers_what_is_added_and_what_is_taken_away_and_nothing_else() -> None:
    plate = sleeve_read(MOVED)
    new, old = (unary_union(plate.outlines(name)) for name in ("new", "old"))
    for name, cloth in (("added", new.difference(old)), ("taken away", old.difference(new))):
        ink = plate.ink(name)
        assert ink.difference(cloth.buffer(0.02)).length < 0.01 * ink.length
        # Strokes 0.9 mm apart.
        assert ink.length == pytest.approx(cloth.area / 0.9, rel=0.05)


def test_the_two_hatchings_run_different_ways() -> None:
    plate = sleeve_read(MOVED)

    def rises(name: str) -> set[bool]:
        ends = [np.array(stroke.coords) for stroke in plate.strokes(name)]
        return {bool((b[1] - a[1]) * (b[0] - a[0]) < 0) for a, b in ends}

    assert (rises("added"), rises("taken away")) == ({True}, {False})


def test_sleeve_says_how_far_each_edge_moved() -> None:
    said = [words.text for words in sleeve_read(MOVED).words]
    assert {"head − 8", "head + 8", "head + 10", "head − 10", "elbow + 12"} <= set(said)
    assert "8 to the front" in said


def test_raised_crown_is_told_at_the_crown_and_leaves_the_pitches() -> None:
    plate = sleeve_read(replace(SLEEVE, crown_height_mm=166, length_mm=638))
    said = [words.text for words in plate.words]
    assert "crown + 8" in said
    assert "under arm" not in " ".join(said)


def test_seam_only_asks_for_the_iron_in_words() -> None:
    ironed = replace(MOVED, ironed_share=IronedShare(hindarm=1, forearm=1))
    said = " ".join(words.text for words in sleeve_read(ironed).words)
    assert "shrink the under sleeve's hindarm into the top sleeve's by" in said
    assert "stretch the top sleeve's forearm to the under sleeve's by" in said


def test_wider_sleeve_is_let_out_at_the_hindarm_of_each_piece() -> None:
    # Trade practice, no source: "let out hindarm 6-10 each piece".
    wider = replace(SLEEVE, girth_mm=Girths(biceps=386, elbow=351, cuff=285))
    said = [words.text for words in sleeve_read(wider).words]
    moved = [text for text in said if text.startswith(("head", "elbow", "cuff"))]
    assert sorted(moved) == ["cuff", "cuff", "elbow + 8", "elbow + 8", "head + 8", "head + 8"]


@both_plates
def test_bare_plate_leaves_title_key_and_scale_to_the_page(read: Reader) -> None:
    whole, bare = read(MOVED), read(MOVED, bare=True)
    left_out = {words.text for words in whole.words} - {words.text for words in bare.words}
    assert {text for text in left_out if text.startswith(("Armhole, ", "Sleeve, ", "drawing at"))}
    assert not bare.strokes("scale bar")
    assert bare.view[3] < whole.view[3] - 20
    assert bare.root.attrib["height"] == f"{bare.view[3]:g}mm"
    check_words(bare)
