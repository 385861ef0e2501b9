"""The three views and the elbow from above: sound, legible, true to what can be seen."""

from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, Point, unary_union

from patterns.drawing.figure import three_views
from patterns.drawing.plan import elbow_plan
from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.section import Section
from patterns.geometry.sleeve import IronedShare, Levels
from patterns.geometry.visibility import is_visible
from tests.drawing.reading import SVG, Plate
from tests.trying.hung import SLEEVE, hang, pose

SCALE = 1 / 9
VIEWS = ("back", "side", "front")
LINES = [f"{view} outline{state}" for view in VIEWS for state in ("", " before")]
MOVED: dict[str, Any] = {
    "notch_shift_mm": 8,
    "hindarm_shift_mm": Levels.alike(14),
    "forearm_shift_mm": Levels.alike(10),
}
shift = st.builds(
    Levels, head=st.floats(-20, 20), elbow=st.floats(-20, 20), cuff=st.floats(-20, 20)
)
tries = st.fixed_dictionaries(
    {
        "notch_shift_mm": st.floats(-20, 20),
        "hindarm_shift_mm": shift,
        "forearm_shift_mm": shift,
        "crown_height_mm": st.floats(145, 175),
        "hindarm_length_mm": st.floats(-15, 15),
        "section_ratio": st.sampled_from([1.0, 1.3]),
        "ironed_share": st.sampled_from([IronedShare(), IronedShare(hindarm=1, forearm=0.5)]),
    }
)


def views(side: str = "right", *, over: bool = True, **changes: Any) -> Plate:
    before = hang() if over else None
    return Plate(three_views(before, hang(**changes), side=side, scale=SCALE))


def plan(side: str = "right", **changes: Any) -> Plate:
    return Plate(elbow_plan(hang(), hang(**changes), side=side, scale=1 / 5))


def curve(plate: Plate, name: str) -> MultiLineString:
    """Every stretch of a line, its spans sampled by Bernstein's formula."""
    t = np.linspace(0, 1, 13)[:, None]
    q = 1 - t
    lines = []
    for points in plate.controls(name):
        spans = [points[i : i + 4] for i in range(0, len(points) - 3, 3)]
        along = [
            q**3 * a + 3 * q * q * t * b + 3 * q * t * t * c + t**3 * d for a, b, c, d in spans
        ]
        lines.append(LineString(np.concatenate(along)))
    return MultiLineString(lines)


def said_beside(plate: Plate, view: str) -> list[str]:
    """Words that stand over a view's ground line."""
    title = next(w for w in plate.words if w.text == f"FROM THE {view.upper()}")
    ground = min(plate.strokes("ground"), key=lambda line: abs(line.centroid.x - title.middle))
    left, _, right, _ = ground.bounds
    return [w.text for w in plate.words if left - 1 <= w.middle <= right + 1]


def check_words(plate: Plate) -> None:
    for one, other in combinations(plate.words, 2):
        assert not one.box.intersects(other.box), (one.text, other.text)
    ink = unary_union([curve(plate, name) for name in LINES] + plate.strokes("leader"))
    for words in plate.words:
        assert plate.paper.contains(words.box), words.text
        assert not words.box.intersects(ink), words.text


def test_untouched_sleeve_is_drawn_once_and_names_every_view() -> None:
    plate = views(over=False)
    assert not any("before" in (one.get("data-line") or "") for one in plate.root.iter())
    assert {f"FROM THE {view.upper()}" for view in VIEWS} <= {w.text for w in plate.words}
    check_words(plate)


@pytest.mark.parametrize("read", [views, plan])
@pytest.mark.parametrize("side", ["left", "right"])
def test_drawing_is_sound_svg_without_style_script_or_ids(read: Any, side: str) -> None:
    plate = read(side, **MOVED)
    assert plate.root.tag == f"{SVG}svg"
    assert plate.root.get("role") == "img"
    assert [child.tag for child in plate.root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert f"wearer's {side}" in (plate.root[0].text or "")
    for element in plate.root.iter():
        assert element.tag not in (f"{SVG}style", f"{SVG}script")
        assert not {"style", "id", "class", "onload"} & set(element.attrib)
    colours = {one.get(mark) for one in plate.root.iter() for mark in ("stroke", "fill")}
    assert colours <= {None, "none", "#000", "#fff"}


@settings(max_examples=40, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(changes=tries, side=st.sampled_from(["left", "right"]))
def test_words_lie_clear_for_whatever_can_be_tried(changes: dict[str, Any], side: str) -> None:
    try:
        plate = views(side, **changes)
        above = plan(side, **changes)
    except GeometryRefused:
        assume(False)
    check_words(plate)
    for one, other in combinations(above.words, 2):
        assert not one.box.intersects(other.box), (one.text, other.text)


@pytest.mark.parametrize("over", [True, False])
def test_left_is_the_mirror_of_right(over: bool) -> None:
    right, left = (views(side, over=over, **MOVED) for side in ("right", "left"))
    for view in VIEWS:
        one, other = (np.concatenate(p.controls(f"{view} outline")) for p in (right, left))
        reach = [(p.view[0], p.view[0] + p.view[2]) for p in (right, left)]
        mirrored = reach[0][0] + reach[1][1] - other[:, 0]
        assert np.sort(mirrored) == pytest.approx(np.sort(one[:, 0]), abs=3e-3)
        assert np.sort(other[:, 1]) == pytest.approx(np.sort(one[:, 1]), abs=3e-3)


@pytest.mark.parametrize(("side", "order"), [("right", VIEWS), ("left", VIEWS[::-1])])
def test_views_stand_unfolded_with_the_side_between_back_and_front(
    side: str, order: tuple[str, ...]
) -> None:
    middle = {w.text: w.middle for w in views(side).words}
    places = [middle[f"FROM THE {view.upper()}"] for view in order]
    assert places == sorted(places)


def test_both_seams_of_a_fifty_fifty_sleeve_lie_on_the_edge_from_the_side() -> None:
    """Sleeve geometry, section 1: it folds flat with both seams on the folds."""
    plate = views(over=False)
    outline = curve(plate, "side outline")
    hung = hang()
    upper = hung.down_mm < hung.down_mm[hung.elbow_at] - 71
    heights = -hung.centre_mm[upper, 2][hung.neck_at + 1 :] * SCALE
    for seam in ("hindarm", "forearm"):
        drawn = unary_union([curve(plate, f"side {seam} {way}") for way in ("seen", "hidden")])
        for height in heights:
            at = drawn.intersection(LineString([(-500, height), (500, height)]))
            assert not at.is_empty
            assert outline.distance(at) < 0.02
    assert "on the edge" in said_beside(plate, "side")


def test_higher_hindarm_shows_from_the_side_and_a_lower_one_does_not() -> None:
    """Trade practice, no source."""
    out, back = (views(hindarm_shift_mm=Levels.alike(mm)) for mm in (12, -12))
    assert any(text.startswith("shows ") for text in said_beside(out, "side"))
    assert out.paths("side hindarm seen")
    assert not any(text.startswith("shows") for text in said_beside(back, "side"))
    assert back.paths("side hindarm hidden")


def test_hindarm_shows_as_far_as_the_section_says() -> None:
    """Sleeve geometry, section 4: r (1 - cos a); here r = 330 / 2 pi and a = 20 mm of 330."""
    expected = 330 / (2 * np.pi) * (1 - np.cos(20 / 330 * 2 * np.pi))
    assert f"shows {expected:.1f} mm" in said_beside(
        views(hindarm_shift_mm=Levels.alike(20)), "side"
    )


def test_fitter_sees_the_forearm_from_the_front_and_the_hindarm_from_behind() -> None:
    told = views(over=False).root[1].text or ""
    assert "From the front the hindarm seam is hidden and the forearm seam is seen." in told
    assert "From the back the hindarm seam is seen and the forearm seam is hidden." in told


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("seam", ["hindarm", "forearm"])
@pytest.mark.parametrize("moved", [-16.0, -6.0, 6.0, 16.0])
def test_seam_is_solid_where_it_can_be_seen_and_broken_where_it_cannot(
    view: Any, seam: str, moved: float
) -> None:
    changes: dict[str, Any] = {f"{seam}_shift_mm": Levels.alike(moved), "notch_shift_mm": 6}
    hung, plate = hang(**changes), views(over=False, **changes)
    lines = {way: curve(plate, f"{view} {seam} {way}") for way in ("seen", "hidden")}
    rings = np.flatnonzero(hung.down_mm < hung.down_mm[hung.elbow_at] - 71)[hung.neck_at + 1 :]
    assert len(rings) >= 3
    for ring in rings:
        girth = float(hung.girth_mm[ring])
        section = Section(girth_mm=girth)
        phi = section.phi_at((girth / 2 if seam == "hindarm" else 0) - moved)
        height = -hung.seam(seam).points_mm[ring - len(hung.down_mm), 2] * SCALE  # type: ignore[arg-type]
        level = LineString([(-500, height), (500, height)])
        drawn = {way for way, line in lines.items() if line.intersects(level)}
        assert drawn == {"seen" if is_visible(section, phi, pose(hung), view) else "hidden"}


def test_hidden_seams_are_broken_lines_and_the_old_state_is_thin() -> None:
    plate = views(**MOVED)
    seen, hidden = plate.paths("front forearm seen")[0], plate.paths("front hindarm hidden")[0]
    assert "stroke-dasharray" in hidden.attrib
    assert "stroke-dasharray" not in seen.attrib
    old, new = (plate.paths(f"side outline{state}")[0] for state in (" before", ""))
    assert float(new.attrib["stroke-width"]) >= 2 * float(old.attrib["stroke-width"])


@pytest.mark.parametrize(("side", "outward"), [("right", -1), ("left", 1)])
def test_elbow_arrow_goes_outward_when_the_elbow_is_turned_out(side: str, outward: int) -> None:
    """From the front the wearer's right arm is on the left of the paper: outward is left."""
    plate = views(side, hindarm_shift_mm=Levels.alike(16), forearm_shift_mm=Levels.alike(16))
    arrow = plate.strokes("front elbow")[0]
    (x0, _), (x1, _) = arrow.coords
    assert outward * (x1 - x0) > 0
    assert "outward of straight back" in (plate.root[1].text or "")


def test_elbow_arrow_goes_inward_when_it_is_turned_in() -> None:
    plate = views(hindarm_shift_mm=Levels.alike(-18), forearm_shift_mm=Levels.alike(-18))
    (x0, _), (x1, _) = plate.strokes("front elbow")[0].coords
    assert x1 > x0
    assert "inward of straight back" in (plate.root[1].text or "")


@pytest.mark.parametrize("side", ["left", "right"])
def test_cuff_hangs_to_the_front_of_the_paper_when_the_pitch_is_forward(side: str) -> None:
    way = 1 if side == "right" else -1
    places = [
        way * curve(views(side, over=False, notch_shift_mm=mm), "side cuff").centroid.x
        - way * curve(views(side, over=False, notch_shift_mm=mm), "side armhole").centroid.x
        for mm in (-10, 0, 10)
    ]
    assert places == sorted(places)


@pytest.mark.parametrize(("side", "outward"), [("right", 1), ("left", -1)])
def test_elbow_from_above_points_out_by_its_angle_and_marks_the_seams(
    side: str, outward: int
) -> None:
    """The front is at the top, so the wearer's right is on the right. Round: e = (a + b) / 2."""
    plate = plan(side, hindarm_shift_mm=Levels.alike(16), forearm_shift_mm=Levels.alike(16))
    (x0, y0), (x1, y1) = plate.strokes("elbow")[0].coords
    assert np.degrees(np.arctan2(outward * (x1 - x0), y1 - y0)) == pytest.approx(
        16 / SLEEVE.girth_mm.elbow * 360, abs=0.2
    )
    ring = MultiLineString(plate.strokes("section"))
    marks = [c for c in plate.root.iter(f"{SVG}circle") if c.get("fill") == "#000"]
    places = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in marks]
    assert [bool(outward * x > 0) for x, _ in places] == [True, False]
    assert all(ring.distance(Point(*place)) < 0.05 for place in places)
