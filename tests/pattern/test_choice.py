"""Drafting a pattern for an order, and branching one for another garment."""

from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.models import Order, Stage
from patterns.models import Pattern, PatternVersion
from patterns.rules.document import read_case
from tests.conftest import Signed
from tests.factories import (
    MeasurementFactory,
    MeasurementSetFactory,
    OrderFactory,
    PatternVersionFactory,
)

pytestmark = pytest.mark.django_db

USUAL = {
    "armhole_girth": "48",
    "pitch_width": "14",
    "pitch_height": "6.5",
    "front_pitch": "2.5",
    "biceps": "38",
    "elbow": "33",
    "cuff": "27",
    "crown": "16",
    "length": "64",
    "hindarm": "0",
    "forearm": "0",
}


def posted(order: Order, **other: str) -> dict[str, str]:
    return {"name": "Coat", "block": "", "version": str(order.version), **USUAL, **other}


def address(order: Order) -> str:
    return reverse("pattern-new", args=[order.pk])


def drafted(fitter: Signed, **other: str) -> dict[str, Any]:
    """The sides of the pattern that such a form makes."""
    order = OrderFactory()
    answer = fitter[0].post(address(order), posted(order, **other))
    assert answer.status_code == 302, answer.content.decode()
    order.refresh_from_db()
    assert order.pattern_version is not None
    found: dict[str, Any] = order.pattern_version.sides
    return found


def test_a_pattern_is_drafted_and_the_order_is_cut_from_it(fitter: Signed) -> None:
    order = OrderFactory()
    answer = fitter[0].post(address(order), posted(order, block="house block"))
    order.refresh_from_db()
    version = order.pattern_version
    assert version is not None
    assert answer["Location"] == version.get_absolute_url()
    assert (version.number, version.parent, version.made_by) == (1, None, fitter[1])
    assert (version.pattern.name, version.pattern.block) == ("Coat", "house block")


def test_both_sides_are_alike_and_can_be_read_by_the_rules(fitter: Signed) -> None:
    made = drafted(fitter)
    assert made["left"] == made["right"]
    assert made["left"]["armhole"]["girth_mm"] == 480
    assert made["left"]["sleeve"]["girth_mm"] == {"biceps": 380, "elbow": 330, "cuff": 270}
    for side in ("left", "right"):
        read_case({"side": side, "readings": [], **made[side]})


def test_a_side_that_differs_keeps_its_own_amount(fitter: Signed) -> None:
    made = drafted(fitter, length_right="65.5", hindarm="1", hindarm_left="1.5")
    assert made["left"]["sleeve"]["length_mm"] == 640
    assert made["right"]["sleeve"]["length_mm"] == 655
    assert made["left"]["sleeve"]["hindarm_shift_mm"] == {"head": 15, "elbow": 15, "cuff": 15}
    assert made["right"]["sleeve"]["hindarm_shift_mm"]["elbow"] == 10


def test_inches_are_read_where_they_are_used(fitter: Signed) -> None:
    fitter[1].units = "in"
    fitter[1].save()
    inches = dict.fromkeys(USUAL, "0") | {
        "armhole_girth": "19",
        "pitch_width": "5 1/2",
        "pitch_height": "2 1/2",
        "front_pitch": "1",
        "biceps": "15",
        "elbow": "13",
        "cuff": "10 1/2",
        "crown": "6 1/4",
        "length": "25",
    }
    made = drafted(fitter, **inches)
    assert made["left"]["armhole"]["girth_mm"] == pytest.approx(482.6)
    assert made["left"]["sleeve"]["crown_height_mm"] == pytest.approx(158.75)


def test_form_begins_with_the_customers_newest_measures_and_ease(fitter: Signed) -> None:
    """Upper arm 330 and 60, outseam 600 and 20, armscye 420 and 60, a third of it for the crown."""
    order = OrderFactory()
    old = MeasurementSetFactory(customer=order.customer, taken_on="2024-01-05")
    new = MeasurementSetFactory(customer=order.customer, taken_on="2026-01-05")
    MeasurementFactory(measurement_set=old, name="upper_arm_girth", value_mm=300)
    MeasurementFactory(measurement_set=old, name="armscye_girth", value_mm=420)
    MeasurementFactory(measurement_set=new, name="upper_arm_girth", value_mm=330)
    MeasurementFactory(measurement_set=new, name="sleeve_outseam", value_mm=600)
    form = fitter[0].get(address(order)).context["form"]
    shown = {name: form[name].value() for name in ("biceps", "length", "armhole_girth", "crown")}
    assert {name: float(cm) for name, cm in shown.items()} == {
        "biceps": 39.0,
        "length": 62.0,
        "armhole_girth": 48.0,
        "crown": 16.0,
    }


def test_form_of_a_customer_never_measured_begins_with_the_usual(fitter: Signed) -> None:
    form = fitter[0].get(address(OrderFactory())).context["form"]
    assert float(form["biceps"].value()) == 38.0
    assert {row.help_text for row in form.rows if row.both.name == "biceps"} == {
        "Began with: usual."
    }


def test_the_usual_figures_make_a_sleeve(fitter: Signed) -> None:
    order = OrderFactory()
    form = fitter[0].get(address(order)).context["form"]
    begun = {name: form[name].value() for name in USUAL}
    assert fitter[0].post(address(order), posted(order, **begun)).status_code == 302


@pytest.mark.parametrize(
    ("other", "sentence"),
    [
        ({"biceps": "60"}, "cannot be set into an armhole"),
        ({"pitch_width": "40"}, "too small to hold pitches"),
        ({"crown": "60"}, "crown"),
        ({"hindarm": "9"}, "move it less"),
    ],
    ids=["sleeve wider than armhole", "pitches too far apart", "crown over the elbow", "seam"],
)
def test_measures_that_make_no_sleeve_are_refused_in_the_cutters_words(
    fitter: Signed, other: dict[str, str], sentence: str
) -> None:
    order = OrderFactory()
    answer = fitter[0].post(address(order), posted(order, **other))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Pattern.objects.count() == 0


def test_a_fault_of_one_side_names_that_side(fitter: Signed) -> None:
    order = OrderFactory()
    answer = fitter[0].post(address(order), posted(order, biceps_right="60"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Wearer&#x27;s right: A sleeve 60.0 cm round" in page
    assert "Wearer&#x27;s left:" not in page


def test_an_order_saved_by_somebody_else_meanwhile_is_not_saved_over(fitter: Signed) -> None:
    order = OrderFactory()
    seen = posted(order)
    order.save_over(order.version)
    answer = fitter[0].post(address(order), seen)
    assert answer.status_code == 409
    assert Pattern.objects.count() == 0


def test_a_branch_begins_as_its_source_is_and_leaves_it_alone(fitter: Signed) -> None:
    source = PatternVersionFactory()
    order = OrderFactory(stage=Stage.MEASURED)
    kept = PatternVersion.objects.values().get(pk=source.pk)
    url = reverse("pattern-branch", args=[source.pattern.pk, 1])
    answer = fitter[0].post(url, {"name": "Overcoat", "order": str(order.pk)})
    assert answer.status_code == 302
    made = Pattern.objects.get(name="Overcoat")
    order.refresh_from_db()
    assert made.branched_from == source
    assert order.pattern_version == made.versions.get()
    assert made.versions.get().sides == source.sides
    assert PatternVersion.objects.values().get(pk=source.pk) == kept


def test_a_branch_is_not_offered_to_an_order_that_is_cut_already(fitter: Signed) -> None:
    source, cut = PatternVersionFactory(), OrderFactory(stage=Stage.BASTE)
    uncut = OrderFactory(stage=Stage.MEASURED)
    url = reverse("pattern-branch", args=[source.pattern.pk, 1])
    page = fitter[0].get(url).content.decode()
    assert uncut.number in page
    assert cut.number not in page
    answer = fitter[0].post(url, {"name": "Overcoat", "order": str(cut.pk)})
    assert answer.status_code == 422
    assert not Pattern.objects.filter(name="Overcoat").exists()


def test_a_branch_needs_no_order_but_a_name(fitter: Signed) -> None:
    source = PatternVersionFactory()
    url = reverse("pattern-branch", args=[source.pattern.pk, 1])
    assert fitter[0].post(url, {"name": "", "order": ""}).status_code == 422
    assert fitter[0].post(url, {"name": "Waistcoat", "order": ""}).status_code == 302


def test_a_retired_pattern_is_branched_with_its_reason_told_for_nothing_in_it_changes(
    fitter: Signed,
) -> None:
    source = PatternVersionFactory(
        pattern__retired_on=timezone.localdate(), pattern__retired_reason="He has grown stout."
    )
    url = reverse("pattern-branch", args=[source.pattern.pk, 1])
    assert "He has grown stout." in fitter[0].get(url).content.decode()
    assert fitter[0].post(url, {"name": "Overcoat", "order": ""}).status_code == 302
    made = Pattern.objects.get(name="Overcoat")
    assert made.branched_from == source
    assert made.retired_on is None
    assert source.pattern.versions.count() == 1


def test_workroom_drafts_no_patterns(workroom: Signed) -> None:
    assert workroom[0].get(address(OrderFactory())).status_code == 404
