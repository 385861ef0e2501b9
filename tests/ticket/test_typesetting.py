"""Which setting is chosen, against trying them all in order; and how few are laid out for it."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fittings import paper
from fittings.paper.typesetting import SETTINGS, fitted, settings_for
from tests.ticket.worked import LEFT_FORWARD, issued


class Laid:
    """Papers whose pages are known before they are laid out."""

    def __init__(self, *pages: int) -> None:
        self.settings: list[Any] = list(range(len(pages)))
        self.papers = [type("Paper", (), {"pages": [None] * count})() for count in pages]
        self.tried: list[int] = []

    def lay_out(self, place: Any) -> Any:
        self.tried.append(place)
        return self.papers[place]

    def chosen(self, sides: int) -> int:
        return self.papers.index(fitted(self.settings, self.lay_out, sides=sides))


def test_a_paper_that_fits_at_once_is_laid_out_once() -> None:
    laid = Laid(2, 2, 2, 2, 2)
    assert laid.chosen(2) == 0
    assert laid.tried == [0]


@pytest.mark.parametrize(
    ("pages", "chosen", "times"),
    [
        ((3, 2, 2, 2, 2), 1, 2),
        ((3, 3, 2, 2, 2), 2, 3),
        ((5, 4, 4, 4, 4), 1, 4),
        ((4, 4, 4, 4, 4), 0, 4),
        ((4, 4, 4), 0, 2),
        ((4,), 0, 1),
        ((4, 3), 1, 2),
    ],
)
def test_what_runs_over_in_the_smallest_is_not_tried_in_between(
    pages: tuple[int, ...], chosen: int, times: int
) -> None:
    laid = Laid(*pages)
    assert laid.chosen(2) == chosen
    assert len(laid.tried) == times


@given(st.lists(st.integers(1, 6), min_size=1, max_size=5), st.integers(1, 3))
def test_the_setting_is_that_of_trying_all_in_order(pages: list[int], sides: int) -> None:
    pages = sorted(pages, reverse=True)
    fits = [n for n, count in enumerate(pages) if count <= sides]
    wanted = fits[0] if fits else pages.index(min(pages))
    laid = Laid(*pages)
    assert laid.chosen(sides) == wanted
    assert len(laid.tried) == len(set(laid.tried))


def test_each_setting_draws_no_larger_than_the_one_before_it() -> None:
    for one, next_one in pairwise(SETTINGS):
        assert one.scales.armhole <= next_one.scales.armhole
        assert one.scales.sleeve <= next_one.scales.sleeve


def test_other_languages_begin_smaller() -> None:
    assert settings_for("A4", is_english=False) == SETTINGS[2:]


@pytest.mark.django_db
@pytest.mark.parametrize("more", [[], [("left", {"what": "length", "amount_mm": 8})]])
def test_large_type_is_left_out_where_it_would_run_over_anyway(
    more: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    ticket, pages = issued([*LEFT_FORWARD, *more]), []

    def in_large(settings: Any, lay_out: Any, *, sides: int) -> Any:
        pages.append((settings[0], len(lay_out(SETTINGS[1]).pages)))
        return lay_out(settings[-1])

    monkeypatch.setattr(paper, "fitted", in_large)
    paper.ticket_pdf(ticket, unit="mm")
    assert pages == [(SETTINGS[2], 2) if more else (SETTINGS[0], 1)]
