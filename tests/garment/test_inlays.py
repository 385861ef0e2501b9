"""What a finding of the garment needs is counted against the inlay that the order has left.

Amounts and inlays are the book's usual ones: trade practice, no source.
"""

import uuid
from typing import Any

import pytest
from django.urls import reverse

from fittings.models import INLAY_PLACES, Entry, InlayPlace, InlayUse, OrderInlay, Ticket
from fittings.paper import ticket_pdf
from fittings.ticketing.issuing import reissue
from patterns.rules.case import Stage
from patterns.rules.garment import GarmentAnswers, Seen, propose_on_garment
from patterns.rules.garment_catalogue import BOOK, GARMENT_FINDINGS
from tests.conftest import Signed
from tests.factories import OrderFactory
from tests.fitting.conftest import Room, fitting, room, text
from tests.garment.test_fitting import accept_all, see
from tests.ticket.worked import words_of

__all__ = ["fitting", "room"]


def write_down(
    room: Room, place: str, left: float | None = None, right: float | None = None
) -> None:
    for side, mm in (("left", left), ("right", right)):
        if mm is not None:
            room.fitting.order.inlays.create(side=side, place=place, as_cut_mm=mm, left_mm=mm)


def left(room: Room, place: str) -> dict[str, float]:
    rows = OrderInlay.objects.filter(order=room.fitting.order, place=place)
    return {row.side: float(row.left_mm) for row in rows}


def shown(room: Room) -> str:
    return text(room.client.get(room.fitting.get_absolute_url()))


def issue(room: Room) -> Ticket:
    room.sign()
    assert room.post("fitting-ticket", {}, plain=True).status_code == 302
    return Ticket.objects.latest("pk")


def answered(*seen: str, stage: Stage = Stage.BASTE, **left_mm: float) -> GarmentAnswers:
    logged = [Seen(id=id_, row=GARMENT_FINDINGS[id_]) for id_ in seen]
    return propose_on_garment(logged, side="left", stage=stage, left_mm=left_mm)


def test_inlay_that_nobody_wrote_down_limits_nothing_and_is_asked_for(room: Room) -> None:
    said = text(see(room, "waist_tight", "left"))
    assert "Needs 8 mm of inlay, side (usually 20 to 25 mm): look what is left" in said
    assert "Accept 8 mm" in said
    accept_all(room, "waist")
    issue(room)
    assert not InlayUse.objects.exists()


def test_nothing_limits_before_the_cloth_is_cut() -> None:
    (one,) = answered("waist_tight", stage=Stage.MEASURED, side_waist=2).corrections
    assert one.reachable_mm == 8


def test_enough_inlay_says_what_will_be_left_and_the_ticket_takes_it(room: Room) -> None:
    write_down(room, "side_waist", left=20, right=20)
    said = text(see(room, "waist_tight", "left"))
    assert "side seam at the waist, 20 mm left, 8 mm needed: 12 mm will be left" in said
    assert "look what is left" not in said
    accept_all(room, "waist")
    ticket = issue(room)
    assert left(room, "side_waist") == {"left": 12, "right": 20}
    paper = words_of(ticket_pdf(ticket, unit="mm"))
    assert "side seam at the waist" in paper.lower()
    assert "12 mm" in paper


def test_over_what_is_left_it_goes_only_so_far(room: Room) -> None:
    write_down(room, "side_hips", right=5)
    said = text(see(room, "hips_tight", "right"))
    assert "The inlay at the side is 5 mm, 8 mm are needed: 3 mm short." in said
    assert "Reachable: 5 mm of 8 mm" in said
    assert "Accept as far as the inlay reaches: 5 mm" in said
    accept_all(room, "waist")
    ticket = issue(room)
    line = ticket.content["lines"][0]
    assert (line["shift_mm"], line["moves"][0]["mm"]["here"]) == (5, 5)
    assert "Wanted 8 mm; the inlay reaches 5 mm" in line["because"]
    assert left(room, "side_hips") == {"right": 0}


def test_too_little_to_be_worth_unpicking_is_not_offered_to_be_accepted(room: Room) -> None:
    write_down(room, "side_hips", left=2)
    said = text(see(room, "hips_tight", "left"))
    assert "not worth unpicking: refuse it, or amend it" in said
    given = {"side": "left", "key": "garment:hips_tight", "seen_mm": "8"}
    given |= {"verdict": "accepted", "identity": str(uuid.uuid4())}
    assert room.post("fitting-decision", given).status_code == 422
    assert "Accept" not in said.split("not worth unpicking")[0].split("Let out below the waist")[1]


def test_fitter_may_amend_past_the_inlay_and_is_told_how_far_it_reaches(room: Room) -> None:
    write_down(room, "side_hips", left=5)
    see(room, "hips_tight", "left")
    given: dict[str, Any] = {"side": "left", "key": "garment:hips_tight", "seen_mm": "8"}
    given |= {"verdict": "amended", "way": "plus", "amount": "7", "words": "Piece cloth on"}
    said = text(room.post("fitting-decision", {**given, "identity": str(uuid.uuid4())}))
    assert "7 mm are needed: 2 mm short" in said
    line = issue(room).content["lines"][0]
    assert line["shift_mm"] == 7
    assert left(room, "side_hips") == {"left": 0}


def test_whole_garment_goes_as_far_as_the_lesser_side_and_takes_from_both(room: Room) -> None:
    write_down(room, "back_armhole", left=10, right=4)
    said = text(see(room, "back_tight"))
    assert "back armhole, 4 mm left on the lesser side, 6 mm needed: nothing will be left" in said
    assert "Accept as far as the inlay reaches: 4 mm" in said
    accept_all(room, "chest")
    issue(room)
    assert left(room, "back_armhole") == {"left": 6, "right": 0}


def test_one_side_finds_what_the_whole_garment_leaves_of_the_same_edge(room: Room) -> None:
    write_down(room, "back_armhole", left=10, right=20)
    see(room, "back_tight")
    said = text(see(room, "blades_prominent", "left"))
    assert "Accept as far as the inlay reaches: 4 mm" in said


def test_one_stretch_of_a_seam_takes_nothing_from_another() -> None:
    """Let out at the waist to nothing at the armhole, the cloth below the waist is still there."""
    answers = answered("waist_tight", "hips_tight", side_waist=8, side_hips=8)
    assert [one.reachable_mm for one in answers.corrections] == [8, 8]
    assert not any(one.limits for one in answers.corrections)


def test_two_findings_at_one_edge_share_what_is_left() -> None:
    answers = answered("back_tight", "blades_prominent", back_armhole=10)
    assert [one.reachable_mm for one in answers.corrections] == [6, 4]


def test_reissued_ticket_gives_back_what_the_first_took(room: Room) -> None:
    write_down(room, "back_armhole", left=10, right=10)
    see(room, "back_tight")
    accept_all(room, "chest")
    first = issue(room)
    assert left(room, "back_armhole") == {"left": 4, "right": 4}
    reissue(first, by=room.fitting.fitter, at=first.issued_at, reason="Told otherwise")
    assert left(room, "back_armhole") == {"left": 4, "right": 4}
    assert sum(float(use.taken_mm) for use in InlayUse.objects.all()) == 6


def test_every_place_that_the_book_needs_cloth_at_can_be_written_down() -> None:
    for garment, rows in BOOK.items():
        needed = {remedy.account for row in rows for remedy in row.remedies if remedy.inlay}
        assert needed <= {place.value for place in INLAY_PLACES[garment]}, garment


def test_row_kept_before_stretches_were_told_apart_limits_nothing(room: Room) -> None:
    write_down(room, "side_waist", left=2)
    see(room, "waist_tight", "left")
    entry = Entry.objects.get()
    del entry.data["row"]["remedies"][0]["inlay_at"]
    entry.save()
    assert "Accept 8 mm" in shown(room)


@pytest.mark.parametrize(
    ("garment", "place", "other"),
    [
        ("coat", InlayPlace.BACK_SHOULDER, InlayPlace.FORK),
        ("trousers", InlayPlace.FORK, InlayPlace.CUFF),
        ("waistcoat", InlayPlace.HEM, InlayPlace.TOP_SLEEVE_HEAD),
    ],
)
def test_inlays_are_asked_for_where_this_garment_has_seams(
    fitter: Signed, garment: str, place: str, other: str
) -> None:
    at = reverse("order-inlays", args=[OrderFactory(garment=garment).pk])
    page = fitter[0].get(at).content.decode()
    assert f'name="{place}_left_cut"' in page
    assert f'name="{other}_left_cut"' not in page
    assert fitter[0].post(at, {"version": "1", f"{place}_left_cut": "2"}).status_code == 302
    assert OrderInlay.objects.get().place == place
