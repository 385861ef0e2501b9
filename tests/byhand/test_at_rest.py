"""A figure starts where the arm was seen to hang; what is read stays sleeve against arm."""

import datetime as dt
import math
import re
from decimal import Decimal
from typing import Any

import pytest

from fittings.fitting_room.at_rest import at_rest
from fittings.fitting_room.hand import Pose
from fittings.fitting_room.proposals import one_side
from fittings.forms.arms import ArmForm
from fittings.models import Entry, Fitting
from tests.asked import queries
from tests.factories import ArmCarriageFactory
from tests.fitting.conftest import Room, text

SIDES = ("left", "right")
DAY = dt.date(2026, 3, 12)


def seen(fitting: Fitting, side: str, on: dt.date = DAY, **degrees: Any) -> None:
    unseen = {"forward_hang_deg": None, "inward_turn_deg": None, "elbow_bend_deg": None}
    given = {name: None if deg is None else Decimal(str(deg)) for name, deg in degrees.items()}
    ArmCarriageFactory(
        customer=fitting.order.customer, side=side, observed_on=on, **{**unseen, **given}
    )


def form_of(page: str, side: str, slug: str = "hand-pitch") -> str:
    start = page.index(f'id="{side}-{slug}"')
    return page[start : page.index("</form>", start)]


def fields(form: str) -> dict[str, str]:
    """What a browser would send of the figure, untouched."""
    found = {}
    for tag in re.findall(r"<input [^>]*>", form):
        name, value = re.search(r'name="(\w+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and (' type="radio"' not in tag or " checked" in tag):
            found[name[1]] = value[1] if value else ""
    return {k: v for k, v in found.items() if k != "csrfmiddlewaretoken"}


def test_nothing_written_down_starts_plumb_and_says_so(room: Room) -> None:
    page = room.page()
    assert "not written down yet: arm and sleeve start plumb" in text(
        room.client.get(room.fitting.get_absolute_url())
    )
    sent = fields(form_of(page, "left"))
    assert (sent["arm"], sent["sleeve"]) == ("0", "0")


@pytest.mark.parametrize("slug", ["hand-pitch", "hand-elbow"])
@pytest.mark.parametrize("side", SIDES)
def test_a_figure_kept_as_it_starts_reads_no_difference_and_proposes_nothing(
    room: Room, fitting: Fitting, side: str, slug: str
) -> None:
    seen(fitting, side, forward_hang_deg=9, inward_turn_deg=-12)
    sent = fields(form_of(room.page(), side, slug))
    assert sent["arm"] != "0"
    assert room.post("fitting-entry", sent).status_code == 200
    kept = Entry.objects.get().data
    assert kept.get("angle_deg", kept.get("turn_deg")) == 0
    assert one_side(fitting, side).proposed == ()


@pytest.mark.parametrize(
    ("degrees", "way", "words"),
    [
        (9, "plus", "9° forward of plumb"),
        (-4.5, "minus", "4.5° behind plumb"),
        (0, "plus", "plumb"),
    ],
)
@pytest.mark.parametrize("side", SIDES)
def test_arm_and_sleeve_start_where_this_arm_was_seen_and_the_day_is_said(
    room: Room, fitting: Fitting, side: str, degrees: float, way: str, words: str
) -> None:
    seen(fitting, side, forward_hang_deg=degrees)
    page = room.page()
    sent = fields(form_of(page, side))
    assert (sent["arm_way"], sent["sleeve_way"]) == (way, way)
    assert float(sent["arm"]) == float(sent["sleeve"]) == abs(degrees)
    # SVG turns clockwise for positive degrees (SVG 1.1, section 7.6): the cuff, which lies below,
    # goes to the left of the paper, which is the back where the front is to the right. The
    # wearer's left is the mirrored drawing, so the number is the same on both sides.
    turned = re.search(r"rotate\((-?[\d.]+) 180 146\)", form_of(page, side))
    assert turned
    assert float(turned[1]) == -degrees
    told = text(room.client.get(room.fitting.get_absolute_url()))
    assert f"seen at rest on 12 Mar 2026, {words}, and the sleeve in line with it" in told
    other = fields(form_of(page, "left" if side == "right" else "right"))
    assert other["arm"] == "0"


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize(("rest", "sleeve", "reads"), [(9, 3, 6), (9, 16.5, -7.5), (-4, -10, 6)])
def test_what_is_read_is_the_arm_less_the_sleeve_wherever_it_started(
    room: Room, fitting: Fitting, side: str, rest: float, sleeve: float, reads: float
) -> None:
    """Sleeve geometry, section 2: theta is the arm's angle less the sleeve's."""
    seen(fitting, side, forward_hang_deg=rest)
    sent = fields(form_of(room.page(), side))
    moved = {"sleeve": str(abs(sleeve)), "sleeve_way": "minus" if sleeve < 0 else "plus"}
    room.post("fitting-entry", {**sent, **moved})
    assert Entry.objects.get().data["angle_deg"] == reads
    title = one_side(fitting, side).proposed[0].correction.title
    assert f"cuff {'forward' if reads > 0 else 'back'}" in title
    # s = theta G / 360 on the armhole of 480 mm, read off a circle.
    assert f"{abs(reads) * 480 / 360:.1f} mm".replace(".0 mm", " mm") in title


@pytest.mark.parametrize("side", SIDES)
def test_sleeves_elbow_turned_in_from_where_the_arms_points_reads_further_out(
    room: Room, fitting: Fitting, side: str
) -> None:
    seen(fitting, side, inward_turn_deg=14)
    sent = fields(form_of(room.page(), side, "hand-elbow"))
    room.post("fitting-entry", {**sent, "sleeve": "4"})
    assert Entry.objects.get().data["turn_deg"] == 10


def test_newest_that_was_seen_counts_and_an_empty_one_hides_nothing(fitting: Fitting) -> None:
    seen(fitting, "left", dt.date(2024, 1, 5), forward_hang_deg=3, elbow_bend_deg=10)
    seen(fitting, "left", dt.date(2025, 1, 5), forward_hang_deg=5)
    arms = at_rest(fitting.order.customer)
    assert arms["left"].hang is not None
    assert arms["left"].bend is not None
    assert (arms["left"].hang.degrees, arms["left"].hang.on.year) == (5, 2025)
    assert (arms["left"].bend.degrees, arms["left"].bend.on.year) == (10, 2024)
    assert arms["left"].turn is None
    assert arms["right"].hang is None


def test_arm_seen_further_than_the_figure_goes_starts_at_its_end(
    room: Room, fitting: Fitting
) -> None:
    seen(fitting, "left", forward_hang_deg=44)
    sent = fields(form_of(room.page(), "left"))
    assert sent["arm"] == "30"
    assert room.post("fitting-entry", sent).status_code == 200


def test_page_asks_as_often_with_many_observations_as_with_one(
    room: Room, fitting: Fitting
) -> None:
    counts = []
    for many in (1, 12):
        for year in range(many):
            seen(fitting, "left", dt.date(2000 + 20 * many + year, 1, 1), forward_hang_deg=4)
        counts.append(queries(room.page))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("bend", [0, 8, 14, 33, 60])
def test_bent_elbow_stands_off_the_line_from_shoulder_to_wrist_as_a_triangle_has_it(
    bend: float,
) -> None:
    """The height of a triangle of sides 108 and 104 (upper arm, forearm) over its third side."""
    angle = math.radians(180 - bend)
    third = math.sqrt(108**2 + 104**2 - 2 * 108 * 104 * math.cos(angle))
    height = 108 * 104 * math.sin(angle) / third
    forward, down = Pose(side="right", bend_deg=bend).bent_px
    assert forward == pytest.approx(-height, abs=0.06)
    assert down == pytest.approx(math.sqrt(108**2 - height**2) - 108, abs=0.06)


def test_elbow_is_taken_hold_of_from_straight_to_the_most_an_arm_bends() -> None:
    handle = ArmForm(prefix="left", initial={"bend_deg": 12}).bend
    assert (handle.least, handle.most, handle.said) == (0, 60, "12° bent")
