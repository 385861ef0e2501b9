"""Notes of the figure and how the arms hang: sides in words, directions chosen, nothing lost."""

import datetime as dt
from decimal import Decimal

from django.urls import reverse

from fittings.models import ArmCarriage, FigureNote
from tests.conftest import Signed
from tests.factories import ArmCarriageFactory, CustomerFactory, FigureNoteFactory

HTMX = {"HX-Request": "true"}
ARMS = {
    "observed_on": "2026-02-03",
    "left-hang_way": "1",
    "left-turn_way": "1",
    "right-hang_way": "1",
    "right-turn_way": "1",
}


def test_a_note_is_added_by_a_plain_form(fitter: Signed) -> None:
    customer = CustomerFactory()
    at = reverse("figure-note-new", args=[customer.pk])
    answer = fitter[0].post(at, {"word": "erect", "side": "", "degree": "2"})
    note = FigureNote.objects.get()
    assert answer["Location"] == customer.get_absolute_url()
    assert (note.word, note.noted_by) == ("erect", fitter[1])


def test_a_note_added_by_htmx_answers_with_its_part_of_the_page_only(fitter: Signed) -> None:
    at = reverse("figure-note-new", args=[CustomerFactory().pk])
    answer = fitter[0].post(at, {"word": "erect", "side": "", "degree": "3"}, headers=HTMX)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'id="figure-notes"' in page
    assert "Erect" in page
    assert "<html" not in page


def test_a_dropped_shoulder_asks_which_one_instead_of_guessing(fitter: Signed) -> None:
    at = reverse("figure-note-new", args=[CustomerFactory().pk])
    sent = {"word": "dropped_shoulder", "side": "", "degree": "2"}
    for headers in ({}, HTMX):
        answer = fitter[0].post(at, sent, headers=headers)
        assert answer.status_code == 422
        assert "wearer&#x27;s left or wearer&#x27;s right" in answer.content.decode()
    assert not FigureNote.objects.exists()


def test_the_same_note_twice_is_refused_with_the_way_out(fitter: Signed) -> None:
    note = FigureNoteFactory(word="erect")
    at = reverse("figure-note-new", args=[note.customer_id])
    answer = fitter[0].post(at, {"word": "erect", "side": "", "degree": "1"})
    assert answer.status_code == 422
    assert "remove the old note first" in answer.content.decode()


def test_a_removed_note_can_be_put_back(fitter: Signed) -> None:
    note = FigureNoteFactory(word="long_arm", side="left", degree=3)
    at = reverse("figure-note-remove", args=[note.customer_id, note.pk])
    page = fitter[0].post(at, headers=HTMX).content.decode()
    assert not FigureNote.objects.exists()
    assert "Put it back" in page
    assert 'name="word" value="long_arm"' in page
    assert 'name="side" value="left"' in page
    assert 'name="degree" value="3"' in page


def test_a_note_is_removed_by_a_plain_form_but_by_no_link(fitter: Signed) -> None:
    note = FigureNoteFactory()
    at = reverse("figure-note-remove", args=[note.customer_id, note.pk])
    assert fitter[0].get(at).status_code == 405
    assert fitter[0].post(at).status_code == 302
    assert not FigureNote.objects.exists()
    assert FigureNote.history.filter(history_type="-").count() == 1


def test_a_note_is_not_removed_through_another_customer(fitter: Signed) -> None:
    note = FigureNoteFactory()
    at = reverse("figure-note-remove", args=[CustomerFactory().pk, note.pk])
    assert fitter[0].post(at).status_code == 404
    assert FigureNote.objects.exists()


def test_nothing_is_kept_of_an_arm_that_was_not_observed(fitter: Signed) -> None:
    customer = CustomerFactory()
    answer = fitter[0].post(reverse("carriage-edit", args=[customer.pk]), ARMS)
    assert answer.status_code == 302
    assert not ArmCarriage.objects.exists()


def test_directions_chosen_in_words_become_signs(fitter: Signed) -> None:
    customer = CustomerFactory()
    sent = ARMS | {
        "left-hang_deg": "7,5",
        "left-length": "64",
        "right-hang_way": "-1",
        "right-hang_deg": "3",
        "right-turn_deg": "20",
        "right-bend_deg": "12",
    }
    fitter[0].post(reverse("carriage-edit", args=[customer.pk]), sent)
    left = customer.arm_carriages.get(side="left")
    right = customer.arm_carriages.get(side="right")
    assert (left.forward_hang_deg, left.inward_turn_deg) == (Decimal("7.5"), None)
    assert left.length_mm == 640
    assert (right.forward_hang_deg, right.inward_turn_deg) == (-3, 20)
    assert right.elbow_bend_deg == 12
    page = fitter[0].get(customer.get_absolute_url()).content.decode()
    assert "7.5° forward of the hip" in page
    assert "3° behind the hip" in page


def test_another_day_is_another_observation_and_the_same_day_a_correction(
    fitter: Signed,
) -> None:
    arm = ArmCarriageFactory(
        side="left", forward_hang_deg=5, length_mm=Decimal("641.3"), observed_on=dt.date(2026, 1, 5)
    )
    at = reverse("carriage-edit", args=[arm.customer_id])
    # the length is shown rounded, 64.1, and left alone: it stays exact
    sent = ARMS | {"left-hang_deg": "6", "left-length": "64.1", "left-seen": f"{arm.pk}.1"}
    assert fitter[0].post(at, sent).status_code == 302
    assert [row.forward_hang_deg for row in arm.customer.arm_carriages.all()] == [6, 5]
    newest = arm.customer.arm_carriages.first()
    assert newest is not None
    assert newest.length_mm == Decimal("641.3")
    again = sent | {"left-hang_deg": "8", "left-seen": f"{newest.pk}.1"}
    assert fitter[0].post(at, again).status_code == 302
    assert [row.forward_hang_deg for row in arm.customer.arm_carriages.all()] == [8, 5]


def test_an_impossible_angle_comes_back_marked(fitter: Signed) -> None:
    at = reverse("carriage-edit", args=[CustomerFactory().pk])
    answer = fitter[0].post(at, ARMS | {"left-hang_deg": "700", "left-bend_deg": "much"})
    assert answer.status_code == 422
    assert 'value="700"' in answer.content.decode()
    assert not ArmCarriage.objects.exists()
