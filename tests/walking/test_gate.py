"""A ticket whose pattern would fail a check that held before wants a written reason."""

import pytest
from django.utils import timezone

from fittings.fitting_room.decisions import decide, sign
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.proposals import one_side
from fittings.models import Fitting, Ticket
from fittings.refusals import Refused
from fittings.ticketing.issuing import failing_checks, issue, reissue
from patterns.models import PatternVersion
from tests.factories import FittingFactory, OrderFactory, PatternVersionFactory, sides

pytestmark = pytest.mark.django_db
WHY = "The customer asked for a roped head; the maker will shrink it in."


def low_crown(raise_mm: float | None = None, *, inlay_mm: float | None = None) -> Fitting:
    """A signed fitting: the left crown too low, the proposal accepted or amended to an amount."""
    order = OrderFactory(pattern_version=PatternVersionFactory())
    if inlay_mm is not None:
        place = {"side": "left", "place": "top_sleeve_head"}
        order.inlays.create(**place, as_cut_mm=inlay_mm, left_mm=inlay_mm)
    fitting, at = FittingFactory(order=order), timezone.now()
    by = fitting.fitter
    for check in ("balance", "shoulders"):
        data = {"check": check, "state": "settled"}
        add_entry(fitting, side="", kind="check", data=data, by=by, made_at=at)
    data = {"what": "finding", "finding": "crown_too_low"}
    add_entry(fitting, side="left", kind="reading", data=data, by=by, made_at=at)
    (proposed,) = one_side(fitting, "left").proposed
    decide(
        fitting,
        side="left",
        key=proposed.correction.key,
        verdict="accepted" if raise_mm is None else "amended",
        amount_mm=raise_mm,
        reason="" if raise_mm is None else "seen on the second sleeve",
        by=by,
        at=at,
    )
    fitting.refresh_from_db()
    sign(fitting, by=by, at=at)
    return fitting


def issued(fitting: Fitting, despite: str = "") -> Ticket:
    at = timezone.now()
    return issue(fitting, by=fitting.fitter, at=at, reason_despite_checks=despite)


def test_ordinary_correction_is_issued_without_a_reason() -> None:
    fitting = low_crown()
    assert failing_checks(fitting) == []
    ticket = issued(fitting)
    assert (ticket.content["checks"], ticket.content["despite"]) == ([], "")


def test_reason_given_where_nothing_fails_is_not_kept() -> None:
    assert issued(low_crown(), WHY).content["despite"] == ""


def test_head_too_long_for_its_armhole_is_refused_with_side_and_sentence() -> None:
    fitting = low_crown(45)
    (failing,) = failing_checks(fitting)
    assert (failing["side"], failing["check"]) == ("left", "head-ease")
    with pytest.raises(Refused) as refused:
        issued(fitting)
    assert "wearer's left" in str(refused.value).lower()
    assert failing["sentence"] in str(refused.value)
    assert "lower the crown" in str(refused.value)


def test_refused_ticket_leaves_no_version_and_no_paper() -> None:
    fitting = low_crown(45)
    versions = PatternVersion.objects.count()
    with pytest.raises(Refused):
        issued(fitting, "   ")
    assert (Ticket.objects.count(), PatternVersion.objects.count()) == (0, versions)


def test_written_reason_lets_it_pass_and_stands_on_the_ticket_with_what_fails() -> None:
    fitting = low_crown(45)
    failing = failing_checks(fitting)
    ticket = issued(fitting, f" {WHY} ")
    assert ticket.content["checks"] == failing
    assert ticket.content["despite"] == WHY


def test_fault_that_the_parent_has_already_asks_for_nothing() -> None:
    low = sides()
    low["left"]["sleeve"]["crown_height_mm"] = 195
    low["left"]["sleeve"]["length_mm"] = 675
    fitting = low_crown()
    PatternVersion.objects.filter(pk=fitting.order.pattern_version_id).update(sides=low)
    fitting = Fitting.objects.get(pk=fitting.pk)
    assert failing_checks(fitting) == []
    assert issued(fitting).content["checks"] == []


def test_inlay_that_would_go_below_nothing_wants_a_reason() -> None:
    fitting = low_crown(14, inlay_mm=9)
    outcome = fitting.decisions.standing().get().outcome
    assert outcome is not None
    over = outcome["inlay"][0]["needed_mm"] - 9
    (failing,) = failing_checks(fitting)
    assert failing["check"] == "inlay-top-sleeve-head"
    assert f"{over:.1f} mm below nothing" in failing["sentence"]
    with pytest.raises(Refused, match="piece on cloth"):
        issued(fitting)
    assert issued(fitting, WHY).content["despite"] == WHY


def test_reissue_counts_the_inlay_given_back_and_asks_again() -> None:
    fine = issued(low_crown(8, inlay_mm=9))
    at, by = timezone.now(), fine.issued_by
    assert reissue(fine, by=by, at=at, reason="a word was wrong").content["checks"] == []
    bold = issued(low_crown(45), WHY)
    with pytest.raises(Refused, match="no longer walk"):
        reissue(bold, by=by, at=at, reason="a word was wrong")
    later = reissue(bold, by=by, at=at, reason="a word was wrong", reason_despite_checks=WHY)
    assert later.content["despite"] == WHY
    assert [one["check"] for one in later.content["checks"]] == ["head-ease"]


def test_side_that_could_not_be_drafted_is_refused_in_the_drafts_own_words() -> None:
    fitting = low_crown()
    decision = fitting.decisions.standing().get()
    wide = {**(decision.outcome or {}), "operation": "width", "shift_mm": 60.0, "inlay": []}
    fitting.decisions.filter(pk=decision.pk).update(outcome=wide)
    (failing,) = failing_checks(fitting)
    assert failing["check"] == "draft"
    with pytest.raises(Refused, match="cannot be set into an armhole"):
        issued(fitting)
