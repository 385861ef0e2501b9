"""Fields that nobody has filled in are drawn once; nothing of one fitting stands in another's."""

from dataclasses import replace

import pytest

from fittings.forms import drawn_once
from fittings.forms.readings import CuffOffsetForm, FindingForm
from patterns.rules.catalogue import SLEEVE_FINDINGS


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_once, "_drawn", {})


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
    for side in ("left", "right"):
        drawn(CuffOffsetForm(side=side, unit="cm"))
    assert len(drawn_once._drawn) <= 2
