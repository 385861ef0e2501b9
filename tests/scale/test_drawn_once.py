"""Forms that nobody has filled in are drawn once; nothing of one fitting stands in another's."""

import re
from dataclasses import replace

import pytest

from fittings.forms import drawn_once
from fittings.forms.findings import FindingForm
from fittings.forms.readings import CuffOffsetForm
from fittings.models import Fitting
from patterns.rules.catalogue import SLEEVE_FINDINGS
from tests.conftest import Signed
from tests.factories import ArmCarriageFactory, FittingFactory, PatternVersionFactory

IDENTITY = r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_once, "_drawn", {})
    monkeypatch.setattr(drawn_once, "_whole", {})


def drawn(form: CuffOffsetForm | FindingForm) -> str:
    return "".join(field.as_field_group() for field in form.visible_fields())


def test_an_empty_form_looks_the_same_drawn_or_kept_and_is_kept_by_side_and_unit() -> None:
    first = drawn(CuffOffsetForm(side="left", unit="cm"))
    assert drawn(CuffOffsetForm(side="left", unit="cm")) == first
    assert 'id="right-cuff-offset-offset"' in drawn(CuffOffsetForm(side="right", unit="cm"))
    assert ", in" in drawn(CuffOffsetForm(side="left", unit="in"))
    assert drawn(CuffOffsetForm(side="left", unit="cm")) == first


def test_what_was_typed_is_never_kept_because_the_next_fitting_would_show_it() -> None:
    empty = drawn(CuffOffsetForm(side="left", unit="cm"))
    wrong = CuffOffsetForm({"offset": "77777", "drop": "60"}, side="left", unit="cm")
    assert not wrong.is_valid()
    assert "77777" in drawn(wrong)
    assert drawn(CuffOffsetForm(side="left", unit="cm")) == empty


def test_findings_are_drawn_anew_when_the_shop_calls_one_otherwise() -> None:
    form = FindingForm(side="left", unit="cm")
    assert "Cap too proud" not in drawn(form)
    form.offer([replace(SLEEVE_FINDINGS[0], called="cap too proud"), *SLEEVE_FINDINGS[1:]])
    assert "Cap too proud" in drawn(form)


def test_what_is_kept_stays_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_once, "MOST", 2)
    monkeypatch.setattr(drawn_once, "MOST_WHOLE", 2)
    for side in ("left", "right"):
        drawn(CuffOffsetForm(side=side, unit="cm"))
    for looks in range(3):
        drawn_once.whole(looks, ("x",), str)
    assert len(drawn_once._drawn) <= 2
    assert len(drawn_once._whole) <= 2


@pytest.mark.django_db
def test_a_page_put_together_from_what_others_drew_is_the_page_drawn_for_itself(
    fitter: Signed,
) -> None:
    """Arms seen at rest, arms nobody wrote down, another garment: alone, then after each other."""
    arm = ArmCarriageFactory(side="left", forward_hang_deg=6, inward_turn_deg=None)
    cut = {"order__pattern_version": PatternVersionFactory()}
    fittings: list[Fitting] = [
        FittingFactory(order__customer=arm.customer, **cut),
        FittingFactory(**cut),
        FittingFactory(order__garment="trousers"),
    ]

    def page(row: Fitting) -> str:
        return fitter[0].get(row.get_absolute_url()).content.decode()

    alone = []
    for row in fittings:
        drawn_once._drawn.clear()
        drawn_once._whole.clear()
        alone.append(page(row))
    for row, before in zip(fittings, alone, strict=True):
        after = page(row)
        assert _but_for_what_is_new(after) == _but_for_what_is_new(before)
        assert not set(re.findall(IDENTITY, after)) & set(re.findall(IDENTITY, before))


def _but_for_what_is_new(page: str) -> str:
    """Without identities, the token against forged forms, and the names of groups."""
    page = re.sub(IDENTITY, "", page)
    return re.sub(r'"[A-Za-z0-9]{64}"|-[0-9a-f]{8}"', "", page)
