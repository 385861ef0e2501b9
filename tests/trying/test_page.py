"""The page that tries a sleeve: every amount changes what it should, and only saving saves."""

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from patterns.models import PatternVersion
from patterns.rules.difference import differences
from patterns.rules.pattern import Change, SidePattern
from tests.asked import queries
from tests.bringing.outlines import side as brought_in
from tests.conftest import Signed
from tests.factories import PatternVersionFactory

# Armhole 480 round; sleeve 380, 330 and 270 round, round in section, 50-50.
SIDES = ["left", "right"]


@pytest.fixture
def version(db: None) -> PatternVersion:
    return PatternVersionFactory()


def at(version: PatternVersion) -> str:
    return reverse("pattern-try", args=[version.pattern_id, version.number])


def rows(client: Client, version: PatternVersion, **moved: Any) -> dict[str, Any]:
    """What is said of the sleeve, by name."""
    answer = client.get(at(version), moved)
    assert answer.status_code == 200
    return {row.what: row for row in [*answer.context["hang"], *answer.context["rows"]]}


def test_nothing_moved_changes_nothing_and_cannot_be_taken(
    fitter: Signed, version: PatternVersion
) -> None:
    said = rows(fitter[0], version)
    assert not [what for what, row in said.items() if row.changed]
    page = fitter[0].get(at(version)).content.decode()
    assert "Nothing is moved yet." in page
    assert page.count("<svg") == 3


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize(
    ("moved", "what", "size_mm", "words"),
    [
        # 360 x 8 / 480 (Sleeve geometry, section 2).
        ({"pitch": 8}, "Pitch", None, "6° forward of plumb"),
        ({"pitch": -4}, "Pitch", None, "3° behind plumb"),
        # (a + b) / 2 with 11 mm of 330 = 12 degrees (Sleeve geometry, section 3).
        ({"hindarm": 11, "forearm": 11}, "Elbow points", None, "12° outward"),
        ({"hindarm": -11, "forearm": -11}, "Elbow points", None, "12° inward"),
        ({"hindarm": 11}, "Elbow points", None, "6° outward"),
        # Half of it held by the iron turns half as far.
        ({"hindarm": 11, "hindarm_ironed": 50}, "Elbow points", None, "3° outward"),
        # 330 / 2 pi (1 - cos 12) = 1.15 (Sleeve geometry, section 4).
        ({"hindarm": 11}, "Hindarm from the side", 1.1, "shows"),
        ({"hindarm": -11}, "Hindarm from the side", 1.1, "hidden by"),
        # Half of 330; what one piece gives the other takes.
        ({"hindarm": 11}, "Top sleeve at the elbow", 154.0, ""),
        ({"hindarm": 11}, "Under sleeve at the elbow", 176.0, ""),
        ({"forearm": 7}, "Top sleeve at the elbow", 172.0, ""),
        ({"forearm_cuff": 6}, "Top sleeve at the cuff", 141.0, ""),
        ({"forearm": 2, "forearm_cuff": 4}, "Under sleeve at the cuff", 129.0, ""),
        ({"hindarm_head": 5}, "Top sleeve at the biceps line", 185.0, ""),
    ],
)
def test_each_amount_changes_the_right_number_on_both_sides(
    fitter: Signed,
    version: PatternVersion,
    side: str,
    moved: dict[str, float],
    what: str,
    size_mm: float | None,
    words: str,
) -> None:
    row = rows(fitter[0], version, side=side, **moved)[what]
    assert row.changed
    assert row.after.words == words
    assert row.after.size_mm == (size_mm if size_mm is None else pytest.approx(size_mm, abs=0.06))


@pytest.mark.parametrize("side", SIDES)
def test_crown_and_bend_go_the_way_they_say(
    fitter: Signed, version: PatternVersion, side: str
) -> None:
    """A higher crown hangs closer and has more ease (Sleeve geometry, section 5); a longer
    hindarm bends more."""

    def number(words: str) -> float:
        return float(words.split("°")[0])

    high = rows(fitter[0], version, side=side, crown=8)
    low = rows(fitter[0], version, side=side, crown=-8)
    for said, sign in ((high, 1), (low, -1)):
        lift, ease = said["Lift, by the crown"], said["Head over the armhole"]
        assert sign * (number(lift.after.words) - number(lift.before.words)) < 0
        assert sign * (ease.after.size_mm - ease.before.size_mm) > 0
        assert not said["Pitch"].changed
        assert not said["Elbow points"].changed
    for amount in (6, -6):
        bend = rows(fitter[0], version, side=side, bend=amount)["Bend at the elbow"]
        assert amount * (number(bend.after.words) - number(bend.before.words)) > 0


def test_seam_moved_alone_asks_for_the_iron_and_leaves_the_elbow(
    fitter: Signed, version: PatternVersion
) -> None:
    """2 x tau: shrink the under sleeve at the hindarm, stretch the top at the forearm (Sleeve
    geometry, section 3)."""
    moved = {"hindarm": 10, "forearm": 10, "hindarm_ironed": 100, "forearm_ironed": 100}
    said = rows(fitter[0], version, **moved)
    assert not said["Elbow points"].changed
    shrink, stretch = said["Shrink at the hindarm"], said["Stretch at the forearm"]
    assert shrink.before.words == stretch.before.words == "nothing"
    assert (shrink.after.words, stretch.after.words) == ("under sleeve", "top sleeve")
    tau = SidePattern.read(version.sides["left"]).sleeve.turning_deg * 3.14159 / 180
    assert stretch.after.size_mm == pytest.approx(2 * 10 * tau, rel=0.25)


def test_left_is_tried_on_the_left_sleeve(fitter: Signed) -> None:
    version = PatternVersionFactory()
    sides = version.sides | {
        "right": {
            **version.sides["right"],
            "sleeve": {**version.sides["right"]["sleeve"], "notch_shift_mm": 4},
        }
    }
    other = PatternVersionFactory(pattern=version.pattern, number=2, sides=sides)
    assert rows(fitter[0], other, side="left")["Pitch"].before.words == "plumb"
    assert rows(fitter[0], other, side="right")["Pitch"].before.words == "3° forward of plumb"


def test_refusal_is_a_sentence_and_keeps_what_was_moved(
    fitter: Signed, version: PatternVersion
) -> None:
    answer = fitter[0].get(at(version), {"pitch": 20, "hindarm": -20, "side": "right"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "The hindarm seam would stand in the lower back quarter of the armhole" in page
    assert "<svg" not in page
    assert 'name="pitch" value="20"' in page
    assert 'name="hindarm" value="-20"' in page
    assert '<button disabled aria-describedby="why-not">' in page


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"pitch": "much"}, "Pitch: Enter a number."),
        ({"crown": "400"}, "Crown: Ensure this value is less than or equal to 15.0."),
        ({"pitch": "nan"}, "Pitch: Enter a number."),
        ({"side": "middle"}, "Which sleeve:"),
    ],
)
def test_query_that_cannot_be_read_is_told_and_not_guessed(
    fitter: Signed, version: PatternVersion, given: dict[str, str], told: str
) -> None:
    answer = fitter[0].get(at(version), given)
    assert answer.status_code == 422
    assert told in answer.content.decode()


def test_change_answers_with_its_parts_and_an_address_to_come_back_to(
    fitter: Signed, version: PatternVersion
) -> None:
    given = {"side": "left", "pitch": "8", "hindarm": "0", "crown": ""}
    answer = fitter[0].get(at(version), given, headers={"HX-Request": "true"})
    part = answer.content.decode()
    assert "<html" not in part
    for name in ("views", "numbers", "taking", "said-pitch", "said-forearm_cuff"):
        assert part.count(f'id="{name}"') == 1
    assert part.count("hx-swap-oob") == 2 + 13
    assert answer["HX-Replace-Url"] == f"{at(version)}?side=left&pitch=8"
    again = fitter[0].get(answer["HX-Replace-Url"]).content.decode()
    assert 'name="pitch" value="8"' in again


def test_keys_work_without_a_script(fitter: Signed, version: PatternVersion) -> None:
    """A key of the plain form leads to the address with one step more, held at its ends."""
    key = fitter[0].get(at(version), {"pitch": "19", "side": "right", "key": "pitch:1"})
    assert (key.status_code, key["Location"]) == (302, f"{at(version)}?side=right&pitch=20")
    key = fitter[0].get(at(version), {"pitch": "20", "side": "right", "key": "pitch:1"})
    assert key["Location"] == f"{at(version)}?side=right&pitch=20"
    key = fitter[0].get(at(version), {"hindarm_ironed": "30", "key": "hindarm_ironed:whole"})
    assert key["Location"] == f"{at(version)}?side=left&hindarm_ironed=100"
    key = fitter[0].get(at(version), {"pitch": "3", "key": "pitch:lots"})
    assert key["Location"] == f"{at(version)}?side=left&pitch=3"


def test_inches_move_by_eighths_and_are_said_in_them(version: PatternVersion) -> None:
    from tests.factories import UserFactory

    client = Client()
    client.force_login(UserFactory(units="in"))
    page = client.get(at(version), {"pitch": "9.525"}).content.decode()
    assert 'min="-19.05"' in page
    assert 'step="3.175"' in page
    assert '<span class="amount">3/8 in</span> cuff forward' in page


@pytest.mark.parametrize("side", SIDES)
def test_taking_makes_a_version_whose_changes_replay_and_are_said_in_words(
    fitter: Signed, version: PatternVersion, side: str
) -> None:
    client, user = fitter
    given = {"side": side, "pitch": 8, "hindarm": 10, "hindarm_ironed": 40, "crown": 3, "bend": 5}
    answer = client.post(at(version), {**given, "note": "elbow tried on the stand"})
    taken = PatternVersion.objects.get(pattern=version.pattern, number=2)
    assert (answer.status_code, answer["Location"]) == (302, taken.get_absolute_url())
    assert (taken.parent, taken.made_by, taken.note) == (version, user, "elbow tried on the stand")
    before, after = (SidePattern.read(v.sides[side]) for v in (version, taken))
    assert {change["side"] for change in taken.changes} == {side}
    assert before.with_changes(*map(Change.read, taken.changes)) == after
    other = SIDES[1 - SIDES.index(side)]
    assert taken.sides[other] == version.sides[other]
    told = [difference.words for difference in differences(before, after)]
    assert "notches along the armhole: 8 mm cuff forward" in told
    assert "hindarm seam at the elbow: 10 mm up and out" in told
    assert "hindarm turning held by the iron: 40% more" in told
    assert "crown: 3 mm higher" in told
    assert "hindarm over the elbow: 5 mm longer" in told


def test_trying_saves_nothing(fitter: Signed, version: PatternVersion) -> None:
    fitter[0].get(at(version), {"pitch": 8, "note": "why"})
    assert PatternVersion.objects.count() == 1


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"pitch": 8}, "Say in a few words what it is for"),
        ({"pitch": 8, "note": "  "}, "Say in a few words what it is for"),
        ({"pitch": 8, "note": "n" * 301}, "The note is 301 signs long"),
        ({"note": "why"}, "Nothing is moved yet."),
        ({"pitch": 20, "hindarm": -20, "note": "why"}, "cannot be cut, so it cannot be taken"),
        ({"pitch": "x", "note": "why"}, "cannot be cut, so it cannot be taken"),
    ],
)
def test_what_is_not_ready_is_not_taken_and_keeps_what_was_typed(
    fitter: Signed, version: PatternVersion, given: dict[str, Any], told: str
) -> None:
    answer = fitter[0].post(at(version), given)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert told in page
    assert f'name="pitch" value="{given.get("pitch", 0)}"' in page
    assert f'name="note" maxlength="300" value="{given.get("note", "").strip()}"' in page
    assert PatternVersion.objects.count() == 1


def test_retired_pattern_is_tried_and_not_taken(fitter: Signed, version: PatternVersion) -> None:
    version.pattern.retired_on = dt.date(2026, 3, 1)
    version.pattern.save()
    assert rows(fitter[0], version, pitch=8)["Pitch"].changed
    answer = fitter[0].post(at(version), {"pitch": 8, "note": "why"})
    assert answer.status_code == 422
    assert "is retired: branch it" in answer.content.decode()


def test_version_tried_from_an_older_one_comes_after_the_newest(
    fitter: Signed, version: PatternVersion
) -> None:
    PatternVersionFactory(pattern=version.pattern, number=2, parent=version)
    fitter[0].post(at(version), {"pitch": 8, "note": "why"})
    newest = PatternVersion.objects.get(number=3)
    assert newest.parent == version


def test_owner_may_try_and_the_workroom_may_not(
    owner: Signed, workroom: Signed, version: PatternVersion
) -> None:
    assert owner[0].get(at(version)).status_code == 200
    assert workroom[0].get(at(version)).status_code == 404
    assert workroom[0].post(at(version), {"pitch": 8, "note": "why"}).status_code == 404


def test_version_that_is_not_there_is_not_found(fitter: Signed, version: PatternVersion) -> None:
    assert fitter[0].get(reverse("pattern-try", args=[version.pattern_id, 9])).status_code == 404


def test_database_is_asked_as_seldom_for_thirty_versions_as_for_one(
    fitter: Signed, version: PatternVersion
) -> None:
    def asked() -> int:
        part = {"HX-Request": "true"}
        return queries(lambda: fitter[0].get(at(version), {"pitch": 8}, headers=part))

    few = asked()
    for number in range(2, 31):
        PatternVersionFactory(pattern=version.pattern, number=number, parent=version)
    assert asked() == few
    assert few <= 3


def test_pattern_brought_in_is_tried_and_taken_by_its_own_lines(fitter: Signed) -> None:
    drawn = brought_in(bent=True).written()
    version = PatternVersionFactory(sides={"left": drawn, "right": drawn})
    assert rows(fitter[0], version, pitch=4)["Pitch"].changed
    fitter[0].post(at(version), {"pitch": 4, "note": "why"})
    taken = PatternVersion.objects.get(pattern=version.pattern, number=2)
    assert taken.sides["left"]["outline"] == drawn["outline"]
