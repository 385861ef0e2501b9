"""What differs from the last paper: nothing where nothing does, else from what to what."""

import copy
from typing import Any

import pytest
from django.utils import timezone

from fittings.fitting_room.decisions import decide
from fittings.fitting_room.entries import add_entry
from fittings.fitting_room.proposals import one_side
from fittings.models import Order, Ticket
from fittings.paper import ticket_pdf
from fittings.paper.differs import differs
from fittings.ticketing.issuing import reissue
from tests.conftest import Signed
from tests.ticket.worked import LEFT_FORWARD, RIGHT_BACK, issued, words_of

Content = dict[str, Any]

LONGER = [("right", {"what": "length", "amount_mm": 8})]
MM8 = {"head": 0.0, "elbow": 0.0, "cuff": 8.0}


def line(side: str = "left", **more: Any) -> Content:
    """A line as a ticket keeps it, by hand."""
    return {
        "side": side,
        "key": "length:length",
        "title": "Make the sleeve 8 mm longer at the cuff",
        "moves": [
            {"piece": "top sleeve", "edge": "cuff edge", "direction": "let down", "mm": MM8},
        ],
        "iron": [],
        "inlay": [{"place": "cuff", "needed_mm": 8.0, "left_mm": 40.0}],
        "do": ["Face it again."],
        "because": "wanted longer",
    } | more


def paper(*lines: Content, **order: Any) -> Content:
    return {
        "lines": list(lines),
        "order": {"promised_on": "2026-03-06", "maker": "Piet Maas", "cloth": "blue"} | order,
        "fitting": {"stage": "Baste fitting"},
        "pattern": {"number": "P-0001"},
    }


def test_a_first_paper_is_marked_nowhere() -> None:
    assert differs(paper(line()), None).is_same


def test_the_same_work_read_again_is_marked_nowhere() -> None:
    last = paper(line())
    again = copy.deepcopy(last)
    again["lines"][0]["because"] = "wanted longer, measured again"
    assert differs(again, last).is_same


def test_a_line_added_is_new_and_one_left_out_is_named_with_its_side() -> None:
    found = differs(paper(line("left")), paper(line("right")))
    assert {n: mark.kind for n, mark in found.lines.items()} == {1: "new"}
    assert found.left_out == ("wearer's right: Make the sleeve 8 mm longer at the cuff",)


def test_the_same_work_in_another_place_of_the_paper_is_no_change() -> None:
    found = differs(paper(line("left"), line("right")), paper(line("right"), line("left")))
    assert found.is_same


def test_a_changed_amount_is_said_from_what_to_what() -> None:
    new = line(title="Make the sleeve 6 mm longer at the cuff")
    new["moves"] = [new["moves"][0] | {"mm": MM8 | {"cuff": 6.0}}]
    new["inlay"] = [{"place": "cuff", "needed_mm": 6.0, "left_mm": 40.0}]
    mark = differs(paper(new), paper(line())).lines[1]
    assert mark.kind == "changed"
    assert mark.said == (
        "was: Make the sleeve 8 mm longer at the cuff",
        "top sleeve, cuff edge: let down 6 mm, was 8 mm",
        "inlay at the cuff: 6 mm, was 8 mm",
    )


def test_an_edge_that_goes_the_other_way_is_a_change_at_the_same_amount() -> None:
    new = line()
    new["moves"] = [new["moves"][0] | {"direction": "take up"}]
    (said,) = differs(paper(new), paper(line())).lines[1].said
    assert said == "top sleeve, cuff edge: now take up 8 mm, was let down 8 mm"


def test_edges_that_change_alike_are_named_together_and_a_new_one_is_called_new() -> None:
    top = line()["moves"][0]
    under, less = top | {"piece": "under sleeve"}, {"mm": MM8 | {"cuff": 6.0}}
    lining = top | {"piece": "lining"}
    new = line(moves=[top | less, under | less, lining])
    assert differs(paper(new), paper(line(moves=[top, under]))).lines[1].said == (
        "top sleeve, cuff edge and under sleeve, cuff edge: let down 6 mm, was 8 mm",
        "lining, cuff edge: new",
    )


def test_levels_that_differ_are_each_said() -> None:
    new = line()
    new["moves"] = [new["moves"][0] | {"mm": {"head": 3.0, "elbow": 5.0, "cuff": 0.0}}]
    (said,) = differs(paper(new), paper(line())).lines[1].said
    assert said.endswith("let down 3 mm at the head, 5 mm at the elbow, was 8 mm")


def test_what_to_do_added_and_left_out_is_said() -> None:
    new = line(do=["Press it first."])
    assert differs(paper(new), paper(line())).lines[1].said == (
        "added: Press it first.",
        "left out: Face it again.",
    )


def test_another_day_and_another_maker_are_facts_that_changed() -> None:
    """6 March 2026 was a Friday, 9 March a Monday."""
    found = differs(paper(line(), promised_on="2026-03-09", maker="Ada Kok"), paper(line()))
    assert found.facts == (
        "Due: from Fri 6 Mar 2026 to Mon 9 Mar 2026",
        "Maker: from Piet Maas to Ada Kok",
    )
    assert not found.lines


@pytest.mark.django_db
def test_paper_and_page_mark_the_line_that_changed_and_not_the_one_that_did_not(
    fitter: Signed,
) -> None:
    ticket = issued([*LEFT_FORWARD, *LONGER])
    later = reissued_shorter(ticket)
    said = words_of(ticket_pdf(later, unit="mm"))
    page = fitter[0].get(later.get_absolute_url()).content.decode()
    for told, longer in ((said, "8 mm"), (page, "0.8 cm")):
        assert told.lower().count("changed since revision 1") == 1
        assert f"was: Make the sleeve {longer} longer at the cuff" in told
    assert "CHANGED" not in words_of(ticket_pdf(ticket, unit="mm"))


@pytest.mark.django_db
def test_a_paper_reissued_for_a_smudge_says_that_the_work_is_as_it_was() -> None:
    ticket = issued([*LEFT_FORWARD, *RIGHT_BACK])
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="smudged")
    said = words_of(ticket_pdf(later, unit="mm"))
    assert "The work is as on revision 1." in said
    assert "Since revision" not in said


@pytest.mark.django_db
def test_a_new_promised_day_stands_on_every_page_of_the_paper() -> None:
    ticket = issued([*LEFT_FORWARD, *RIGHT_BACK])
    Order.objects.update(promised_on="2026-03-09")
    ticket = Ticket.objects.get(pk=ticket.pk)
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="later will do")
    said = words_of(ticket_pdf(later, unit="mm"))
    assert said.count("Due: from Fri 6 Mar 2026 to Mon 9 Mar 2026") == 2


def reissued_shorter(ticket: Ticket) -> Ticket:
    """The right sleeve measured again: another amount, decided and reissued."""
    fitting, by, at = ticket.fitting, ticket.issued_by, timezone.now()
    data = {"what": "length", "amount_mm": 4, "sigma_mm": 0.1}
    add_entry(fitting, side="right", kind="reading", data=data, by=by, made_at=at)
    (proposed,) = one_side(fitting, "right").proposed
    key = proposed.correction.key
    decide(fitting, side="right", key=key, verdict="accepted", by=by, at=at)
    return reissue(ticket, by=by, at=at, reason="measured again")
