"""Questions from the bench back to the fitter, about one line of a ticket, and their answers."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, Final

from django.db import transaction

from fittings.bench.ticks import MAKERS, check_stands, superseding
from fittings.models import Question, Ticket, TicketLine
from fittings.models.workroom import MOST_WORDS_ASKED
from fittings.refusals import Refused

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tailorshop.models import User

ANSWER: Final = frozenset({"fitter", "owner"})
WHO: Final = ("asked_by", "answered_by")


def ask(line: TicketLine, words: str, *, by: User, at: dt.datetime) -> Question:
    """A question that stands until it is answered. Refuses (Refused, Frozen) as the page says."""
    with transaction.atomic():
        check_stands(superseding(line.ticket))
        if by.role not in MAKERS:
            raise Refused("The workroom asks here; write what you want to add on a new paper.")
        said = _said(words, "Write what you need to know, in a few words.")
        return Question.objects.create(line=line, words=said, asked_by=by, asked_at=at)


def answer(question: Question, words: str, *, by: User, at: dt.datetime) -> None:
    """The one answer a question gets. Refuses (Refused, Frozen) as the page says."""
    with transaction.atomic():
        question = Question.objects.select_for_update(of=("self",)).get(pk=question.pk)
        if by.role not in ANSWER:
            raise Refused("The fitter answers this: it stands on the fitter's first page.")
        question.answer = _said(words, "Write the answer, in a few words.")
        question.answered_by, question.answered_at = by, at
        question.save()


def _said(words: str, empty: str) -> str:
    said = " ".join(words.split())
    if not said:
        raise Refused(empty)
    if len(said) > MOST_WORDS_ASKED:
        raise Refused(f"Say it in {MOST_WORDS_ASKED} signs at most; what you typed is kept below.")
    return said


def threads(ticket: Ticket, lines: Iterable[TicketLine]) -> dict[int | None, list[Question]]:
    """All that was asked on any paper of this number, by the position of the same work on this one.

    None: what was asked about work that this paper no longer has.
    """
    places: dict[Any, int] = {_work(line): line.position for line in lines}
    found: dict[int | None, list[Question]] = {}
    asked = Question.objects.filter(line__ticket__number=ticket.number)
    for question in asked.select_related("line__ticket", *WHO).defer("line__ticket__content"):
        found.setdefault(places.get(_work(question.line)), []).append(question)
    return found


def _work(line: TicketLine) -> tuple[str, str]:
    """What stays the same of a line from paper to paper: its side and the proposal it answers."""
    return line.side, line.content.get("key", str(line.position))
