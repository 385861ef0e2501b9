"""Questions from the bench to the fitter: asked, answered, and never changed."""

import pytest
from django.urls import reverse
from django.utils import timezone

from fittings.bench.asking import answer, ask
from fittings.models import Customer, Question, Ticket, TicketLine
from fittings.refusals import Frozen, Refused
from fittings.ticketing.issuing import reissue
from tailorshop.models import Role, User
from tests.asked import queries_of
from tests.conftest import Signed
from tests.factories import UserFactory
from tests.ticket.worked import LEFT_FORWARD, issued

pytestmark = pytest.mark.django_db


def asked(line: TicketLine, maker: User, words: str = "Which edge?") -> Question:
    return ask(line, words, by=maker, at=timezone.now())


@pytest.mark.parametrize("words", ["", "  \n ", "x" * 501])
def test_nothing_and_too_much_is_no_question(line: TicketLine, maker: User, words: str) -> None:
    with pytest.raises(Refused):
        asked(line, maker, words)
    assert not Question.objects.exists()


def test_a_question_is_answered_once_and_then_stands(line: TicketLine, maker: User) -> None:
    question = asked(line, maker)
    fitter = UserFactory(role=Role.FITTER)
    answer(question, "The front one.", by=fitter, at=timezone.now())
    with pytest.raises(Frozen, match="ask anew"):
        answer(question, "No, the back one.", by=fitter, at=timezone.now())
    question.refresh_from_db()
    assert (question.answer, question.answered_by) == ("The front one.", fitter)
    question.words = "Something else?"
    with pytest.raises(Frozen):
        question.save()


def test_the_workroom_does_not_answer_itself(line: TicketLine, maker: User) -> None:
    with pytest.raises(Refused, match="fitter answers"):
        answer(asked(line, maker), "I think the front.", by=maker, at=timezone.now())


def test_nothing_is_asked_on_a_superseded_paper(
    ticket: Ticket, line: TicketLine, maker: User
) -> None:
    reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    with pytest.raises(Frozen, match="Revision 2"):
        asked(line, maker)


def test_a_question_goes_with_its_work_to_the_next_paper(
    fitter: Signed, ticket: Ticket, line: TicketLine, maker: User
) -> None:
    asked(line, maker, "Which edge do you mean?")
    later = reissue(ticket, by=ticket.issued_by, at=timezone.now(), reason="read again")
    page = fitter[0].get(later.get_absolute_url()).content.decode()
    assert "Which edge do you mean?" in page
    assert "on revision 1" in page


def test_the_fitter_meets_it_first_thing_on_the_fitting_and_on_the_order(
    fitter: Signed, ticket: Ticket, line: TicketLine, maker: User
) -> None:
    question = asked(line, maker, "Which edge do you mean?")
    pages = [
        reverse("today"),
        reverse("question-list"),
        ticket.fitting.get_absolute_url(),
        ticket.order.get_absolute_url(),
    ]
    for at in pages:
        assert "Which edge do you mean?" in fitter[0].get(at).content.decode(), at
    sent = fitter[0].post(
        reverse("question-answer", args=[question.pk]), {"words": "The front one."}
    )
    assert sent.status_code == 302
    for at in pages:
        assert "Which edge do you mean?" not in fitter[0].get(at).content.decode(), at


def test_the_bench_says_that_a_ticket_waits_for_an_answer(workroom: Signed, ticket: Ticket) -> None:
    at = reverse("ticket-ask", args=[ticket.number, 1, 1])
    assert workroom[0].post(at, {"words": "Which edge?"}).status_code == 302
    assert "1 question open" in workroom[0].get(reverse("bench")).content.decode()
    assert b"1 ticket," in workroom[0].get(reverse("bench"), {"work": "asked"}).content


def test_an_empty_question_answers_422_and_asks_for_words(workroom: Signed, ticket: Ticket) -> None:
    sent = workroom[0].post(reverse("ticket-ask", args=[ticket.number, 1, 1]), {"words": " "})
    assert sent.status_code == 422
    assert "in a few words" in sent.content.decode()


def test_an_empty_answer_answers_422_and_keeps_the_question_open(
    fitter: Signed, line: TicketLine, maker: User
) -> None:
    question = asked(line, maker)
    sent = fitter[0].post(reverse("question-answer", args=[question.pk]), {"words": ""})
    assert sent.status_code == 422
    assert Question.objects.open().get() == question


def test_questions_of_an_erased_customer_are_gone(
    fitter: Signed, line: TicketLine, maker: User
) -> None:
    question = asked(line, maker, "Which edge do you mean?")
    Customer.objects.update(erased_on=timezone.localdate())
    assert b"Which edge" not in fitter[0].get(reverse("question-list")).content
    sent = fitter[0].post(reverse("question-answer", args=[question.pk]), {"words": "Front."})
    assert sent.status_code == 404


def test_markup_in_a_question_stays_words(fitter: Signed, line: TicketLine, maker: User) -> None:
    asked(line, maker, "<script>alert(1)</script>")
    page = fitter[0].get(line.ticket.get_absolute_url()).content
    assert b"<script>alert" not in page


@pytest.mark.parametrize("name", ["question-list", "today"])
def test_lists_of_questions_ask_the_database_equally_often_for_one_and_many(
    fitter: Signed, line: TicketLine, maker: User, name: str
) -> None:
    def queries() -> int:
        return queries_of(fitter[0], reverse(name))

    asked(line, maker)
    one = queries()
    other = issued(LEFT_FORWARD).lines.get()
    for n in range(6):
        asked(other, maker, f"And number {n}?")
    assert queries() == one
