"""Pins, chalk lines and notes: kept as data, drawn over the picture, burnt into a copy."""

import uuid
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from fittings.models import Fitting, Photograph, PhotographMark
from fittings.photographs.keeping import load
from fittings.photographs.marked import burnt_copy
from fittings.photographs.marking import MOST
from tests.asked import queries
from tests.conftest import Signed
from tests.factories import FittingFactory
from tests.photographs.wearer import HIGH, WIDE, photograph_of, posted

HTMX = {"HX-Request": "true"}
PIN = {"pin": (25, 50)}
CHALK = {"chalk_from": (50, 25), "chalk_to": (75, 75)}
NOTE = {"note": (60, 40)}


@pytest.fixture
def client(fitter: Signed) -> Client:
    return fitter[0]


@pytest.fixture
def picture(fitter: Signed) -> Photograph:
    return photograph_of(FittingFactory(fitter=fitter[1]), fitter[1])


def put(
    client: Client, picture: Photograph, kind: str, touches: Any, *, part: bool = True, **more: Any
) -> Any:
    address = reverse("photograph-marks", args=[picture.pk])
    sent = posted(touches, kind=kind, **more)
    return client.post(address, sent, headers=HTMX if part else {})


def take(client: Client, mark: PhotographMark, **more: Any) -> Any:
    address = reverse("photograph-mark-remove", args=[mark.photograph_id, mark.pk])
    return client.post(address, more, headers=HTMX)


def pixels(data: bytes) -> Any:
    with Image.open(BytesIO(data)) as image:
        return np.asarray(image.convert("L")).astype(int)


# --- nothing marked


def test_a_photograph_without_marks_is_handed_on_as_it_is_kept(picture: Photograph) -> None:
    assert burnt_copy(picture) == load(picture.sha256)


def test_a_mark_taken_back_leaves_the_copy_bare(client: Client, picture: Photograph) -> None:
    put(client, picture, "pin", PIN)
    take(client, picture.marks.get())
    assert burnt_copy(picture) == load(picture.sha256)


@pytest.mark.parametrize(
    ("kind", "touches", "more", "said"),
    [
        ("pin", {}, {}, "Touch where the pin goes"),
        ("chalk", {"chalk_from": (50, 25)}, {}, "Touch where the chalk line ends"),
        ("note", NOTE, {}, "Write what the note says"),
        ("pin", {"pin": (101, 5)}, {}, "less than or equal to 100"),
        ("nail", PIN, {}, "not one of the available choices"),
        ("pin", PIN, {"identity": "x"}, "valid UUID"),
    ],
)
def test_what_is_no_mark_is_not_put_and_says_why(
    client: Client, picture: Photograph, kind: str, touches: Any, more: Any, said: str
) -> None:
    answer = put(client, picture, kind, touches, **more)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not picture.marks.exists()


# --- put, taken back


def test_one_tap_puts_a_pin_two_a_chalk_line_and_they_are_numbered_through(
    client: Client, picture: Photograph
) -> None:
    assert put(client, picture, "pin", PIN).status_code == 200
    put(client, picture, "chalk", CHALK)
    put(client, picture, "note", NOTE, words="Slack here")
    pin, chalk, note = picture.marks.all()
    assert [pin.number, chalk.number, note.number] == [1, 2, 3]
    assert pin.points == [[0.25, 0.5]]
    assert chalk.points == [[0.5, 0.25], [0.75, 0.75]]
    assert str(note) == "Note 3: Slack here"


def test_sent_twice_a_mark_is_kept_once(client: Client, picture: Photograph) -> None:
    identity = str(uuid.uuid4())
    for _ in range(2):
        assert put(client, picture, "pin", PIN, identity=identity).status_code == 200
    assert picture.marks.count() == 1


def test_an_identity_of_another_photograph_is_refused(
    client: Client, picture: Photograph, fitter: Signed
) -> None:
    other = photograph_of(picture.fitting, fitter[1])
    put(client, other, "pin", PIN)
    answer = put(client, picture, "pin", PIN, identity=str(other.marks.get().pk))
    assert answer.status_code == 422
    assert "on another photograph" in answer.content.decode()


def test_a_mark_taken_back_stays_on_the_record_and_its_number_is_not_given_again(
    client: Client, picture: Photograph, fitter: Signed
) -> None:
    put(client, picture, "pin", PIN)
    first = picture.marks.get()
    answer = take(client, first)
    first.refresh_from_db()
    assert first.removed_by == fitter[1]
    assert "Taken back: Pin 1." in answer.content.decode()
    put(client, picture, "pin", PIN)
    assert [mark.number for mark in picture.marks.all()] == [1, 2]


def test_a_mark_is_put_back(client: Client, picture: Photograph) -> None:
    put(client, picture, "pin", PIN)
    take(client, picture.marks.get())
    take(client, picture.marks.get(), back="1")
    assert picture.marks.standing().count() == 1


def test_after_signing_marks_are_added_and_none_is_taken_back(
    client: Client, picture: Photograph
) -> None:
    put(client, picture, "pin", PIN)
    Fitting.objects.filter(pk=picture.fitting_id).update(signed_at=timezone.now())
    answer = take(client, picture.marks.get())
    assert answer.status_code == 409
    assert "The fitting is signed" in answer.content.decode()
    put(client, picture, "pin", {"pin": (30, 30)})
    added = picture.marks.last()
    assert added is not None
    assert added.after_signing
    assert take(client, added).status_code == 200


def test_more_marks_than_can_be_told_apart_are_refused(
    client: Client, picture: Photograph, fitter: Signed
) -> None:
    PhotographMark.objects.bulk_create(
        PhotographMark(
            photograph=picture,
            number=n + 1,
            points=[[0.5, 0.5]],
            made_at=timezone.now(),
            made_by=fitter[1],
        )
        for n in range(MOST)
    )
    answer = put(client, picture, "pin", PIN)
    assert answer.status_code == 422
    assert "take one back" in answer.content.decode()


def test_without_script_a_mark_is_put_by_numbers_and_the_page_comes_back(
    client: Client, picture: Photograph
) -> None:
    answer = put(client, picture, "pin", {"pin": ("25,5", "50")}, part=False)
    assert answer.status_code == 302
    assert picture.marks.get().points == [[0.255, 0.5]]


def test_a_photograph_with_marks_is_not_turned_under_them(
    client: Client, picture: Photograph
) -> None:
    put(client, picture, "pin", PIN)
    address = reverse("photograph-change", args=[picture.pk])
    assert client.post(address, {"act": "turn"}).status_code == 422


# --- drawn


def test_marks_are_drawn_over_the_picture_in_its_own_pixels(
    client: Client, picture: Photograph
) -> None:
    put(client, picture, "chalk", CHALK)
    page = client.get(reverse("photograph-marks", args=[picture.pk])).content.decode()
    assert f'viewBox="0 0 {WIDE} {HIGH}"' in page
    # Half of 600 and a quarter of 800; three quarters of both.
    assert 'x1="300" y1="200" x2="450" y2="600"' in page


def test_words_are_escaped_where_they_are_shown(client: Client, picture: Photograph) -> None:
    answer = put(client, picture, "note", NOTE, words="<b>tight</b>")
    assert b"<b>tight" not in answer.content
    assert b"&lt;b&gt;tight" in answer.content


def test_the_page_asks_the_database_no_more_for_many_marks(
    client: Client, picture: Photograph
) -> None:
    address = reverse("photograph-marks", args=[picture.pk])
    put(client, picture, "pin", PIN)
    one = queries(lambda: client.get(address))
    for n in range(8):
        put(client, picture, "pin", {"pin": (10 + n, 20)})
    take(client, picture.marks.last() or pytest.fail("no mark"))
    assert queries(lambda: client.get(address)) == one


# --- burnt in, on grey (120): what a pin or a line adds is black within white


def test_a_burnt_pin_is_black_where_it_was_put_and_white_around_it(
    client: Client, picture: Photograph
) -> None:
    put(client, picture, "pin", PIN)
    burnt = pixels(burnt_copy(picture))
    assert burnt.shape == (HIGH, WIDE)
    near = burnt[HIGH // 2 - 8 : HIGH // 2 + 9, WIDE // 4 - 8 : WIDE // 4 + 9]
    assert burnt[HIGH // 2, WIDE // 4] < 50
    assert near.max() > 220
    # Far away nothing changed but by the coding of the picture.
    assert np.abs(burnt[HIGH * 3 // 4 :, WIDE // 2 :] - 120).max() <= 4


def test_a_burnt_chalk_line_runs_in_dashes_from_its_first_place_to_its_second(
    client: Client, picture: Photograph
) -> None:
    put(client, picture, "chalk", CHALK)
    burnt = pixels(burnt_copy(picture))
    share = np.linspace(0.02, 0.98, 200)
    along = burnt[np.rint(200 + 400 * share).astype(int), np.rint(300 + 150 * share).astype(int)]
    dark, light = np.mean(along < 60), np.mean(along > 200)
    assert dark > 0.4
    assert light > 0.15
    beyond = burnt[round(200 + 400 * 1.1), round(300 + 150 * 1.1)]
    assert abs(beyond - 120) < 5


def test_words_stand_on_a_white_strip_below_the_picture_and_long_ones_are_broken(
    client: Client, picture: Photograph
) -> None:
    put(client, picture, "note", NOTE, words="Tight")
    one = pixels(burnt_copy(picture))
    put(client, picture, "note", {"note": (20, 20)}, words="taut from pitch to elbow " * 4)
    two = pixels(burnt_copy(picture))
    assert HIGH < one.shape[0] < two.shape[0]
    strip = two[HIGH + 4 :]
    assert strip[:, -4:].min() > 200  # nothing runs out of the picture
    assert strip.min() < 80


def test_the_picture_that_is_kept_stays_bare(client: Client, picture: Photograph) -> None:
    before = load(picture.sha256)
    put(client, picture, "pin", PIN)
    burnt_copy(picture)
    assert load(picture.sha256) == before
