"""The shop's own amounts and words for what is seen of a sleeve.

The book's usual amounts that are named here are trade practice, no source.
"""

import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fittings.models import Entry, ShopFinding
from fittings.models import InlayPlace as Place
from patterns.rules.catalogue import FINDINGS
from patterns.rules.document import reading_faults
from patterns.rules.garment_catalogue import GARMENT_FINDINGS
from tests.asked import queries
from tests.conftest import Signed
from tests.fitting.conftest import Room, fitting, room, text

__all__ = ["fitting", "room"]


@pytest.fixture
def owner_client(owner: Signed) -> Client:
    owner[1].units = "mm"
    owner[1].save()
    return owner[0]


def edit(owner: Client, rule: str, **given: Any) -> Any:
    return owner.post(reverse("shop-finding-edit", args=[rule]), {"name": "", "seen": "", **given})


def log(room: Room, finding: str, side: str = "left", **given: Any) -> Any:
    return room.read("finding", side, finding=finding, **{"by": "", **given})


def lines(room: Room) -> str:
    return text(room.client.get(room.fitting.get_absolute_url()))


def test_rules_of_sleeve_and_garment_never_share_an_id() -> None:
    assert not set(FINDINGS) & set(GARMENT_FINDINGS)


def test_sleeve_keeps_the_books_amount_where_the_shop_says_nothing(room: Room) -> None:
    said = text(log(room, "crown_too_high"))
    assert "Crown too high: no amount read, the usual is 10 mm" in said
    assert "Accept 10 mm" in said


def test_shops_amount_is_proposed_and_offered_beside_the_finding(
    room: Room, owner_client: Client
) -> None:
    assert edit(owner_client, "crown_too_high", usual="7").status_code == 302
    assert "Crown too high usual 7 mm" in lines(room)
    assert "Accept 7 mm" in text(log(room, "crown_too_high"))


def test_amount_read_at_the_fitting_counts_before_the_shops(
    room: Room, owner_client: Client
) -> None:
    edit(owner_client, "crown_too_high", usual="7")
    assert "Accept 9 mm" in text(log(room, "crown_too_high", by="9"))


def test_pitch_logged_without_amount_is_turned_by_the_shops_amount(
    room: Room, owner_client: Client
) -> None:
    edit(owner_client, "pitch_too_far_forward", usual="6")
    said = text(log(room, "pitch_too_far_forward"))
    assert "so the usual 6 mm is proposed" in said


def test_logged_finding_keeps_its_row_when_the_catalogue_changes_later(
    room: Room, owner_client: Client
) -> None:
    edit(owner_client, "crown_too_high", usual="7", name="Bump at the crown")
    log(room, "crown_too_high")
    edit(owner_client, "crown_too_high", usual="12", name="Crown lump", version="1")
    said = lines(room)
    assert "Bump at the crown: no amount read, the usual is 7 mm" in said
    assert "Accept 7 mm" in said
    assert "Crown lump usual 12 mm" in said
    reset = owner_client.post(reverse("shop-finding-reset", args=["crown_too_high"]))
    assert reset.status_code == 302
    assert "Accept 7 mm" in lines(room)


def test_row_of_an_entry_is_what_the_rules_read_and_its_id_stays(
    room: Room, owner_client: Client
) -> None:
    edit(owner_client, "sleeve_narrow", usual="8.5", seen="Rings round the arm.")
    log(room, "sleeve_narrow")
    kept = Entry.objects.get().data
    assert kept["finding"] == kept["row"]["id"] == "sleeve_narrow"
    assert kept["row"]["usual_mm"] == [6, 8.5, 10]
    assert "Rings round the arm." in lines(room)


def test_same_tap_sent_again_is_kept_once_though_the_catalogue_changed_between(
    room: Room, owner_client: Client
) -> None:
    tap = str(uuid.uuid4())
    log(room, "crown_too_high", identity=tap)
    edit(owner_client, "crown_too_high", usual="7")
    assert log(room, "crown_too_high", identity=tap).status_code == 200
    assert log(room, "crown_too_low", identity=tap).status_code == 422
    assert [e.data["finding"] for e in Entry.objects.all()] == ["crown_too_high"]


def test_fold_on_the_figure_takes_the_shops_amount_too(room: Room, owner_client: Client) -> None:
    edit(owner_client, "crown_too_high", usual="7")
    assert "Accept 7 mm" in text(room.read("hand-fold", place="head", kind="slack", depth=""))


def test_row_switched_off_is_offered_no_more_and_what_was_logged_stays(
    room: Room, owner_client: Client
) -> None:
    log(room, "sleeve_wide")
    assert 'value="sleeve_wide"' in room.page()
    edit(owner_client, "sleeve_wide", switched_off="on")
    assert 'value="sleeve_wide"' not in room.page()
    assert "Sleeve wide: no amount read" in lines(room)


@pytest.mark.parametrize("rule", ["sleeve_long", "elbow_points_in", "one_good_one_not"])
def test_where_only_a_measured_amount_will_do_the_shop_has_no_usual_one(
    owner_client: Client, rule: str
) -> None:
    page = owner_client.get(reverse("shop-finding-edit", args=[rule])).content.decode()
    assert 'name="usual"' not in page
    edit(owner_client, rule, usual="9", name="Ours")
    assert ShopFinding.objects.get().usual_mm is None


@pytest.mark.parametrize("amount", ["0", "-3", "301", "seven"])
def test_amount_that_no_work_can_have_is_refused_and_kept_as_typed(
    owner_client: Client, amount: str
) -> None:
    answer = edit(owner_client, "crown_too_high", usual=amount)
    assert answer.status_code == 422
    assert f'value="{amount}"' in answer.content.decode()
    assert not ShopFinding.objects.exists()


def test_every_row_of_the_sleeve_is_listed_with_the_shops_amount_beside_the_books(
    owner_client: Client,
) -> None:
    edit(owner_client, "crown_too_high", usual="7")
    page = owner_client.get(reverse("shop-findings"), {"garment": "sleeve"})
    said = text(page)
    assert all(row.name.capitalize() in said for row in FINDINGS.values())
    assert "7 mm changed book: 10 mm" in said


def test_page_asks_no_more_often_when_every_row_is_the_shops(
    room: Room, owner_client: Client
) -> None:
    address = room.fitting.get_absolute_url()
    room.client.get(address)
    few = queries(lambda: room.client.get(address))
    ShopFinding.objects.bulk_create(ShopFinding(rule=id_, usual_mm=5) for id_ in FINDINGS)
    many = queries(lambda: room.client.get(address))
    assert many == few


def test_row_of_another_finding_is_refused() -> None:
    row = FINDINGS["crown_too_low"].written()
    given = {"id": "a", "what": "finding", "finding": "crown_too_high", "row": row}
    assert reading_faults(given) == [
        "$.readings[0].row.id: the row is not that of 'crown_too_high'"
    ]
    assert reading_faults({**given, "row": {**row, "id": "crown_too_high"}}) == []


def test_inlay_still_bounds_what_the_shops_amount_asks_for(
    room: Room, owner_client: Client
) -> None:
    edit(owner_client, "crown_too_low", usual="12")
    room.fitting.order.inlays.create(
        side="left", place=Place.TOP_SLEEVE_HEAD, as_cut_mm=5, left_mm=5
    )
    said = text(log(room, "crown_too_low"))
    assert "5 mm" in said
    assert "Accept 12 mm" not in said
