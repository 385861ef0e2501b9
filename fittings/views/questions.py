"""Questions about a line of a ticket: asked at the bench, answered by the fitter."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from fittings.bench.asking import answer, ask
from fittings.models import Question
from fittings.refusals import Refused
from fittings.views.reach import page_of
from fittings.views.tickets import all_about, get_ticket


def get_question(request: HttpRequest, pk: int) -> Question:
    """A question with the paper it was asked on, unless its customer is erased."""
    rows = Question.objects.reachable().select_related("line__ticket")
    return get_object_or_404(rows, pk=pk)


def question_list(request: HttpRequest) -> HttpResponse:
    """What the bench still waits for, oldest first."""
    rows = Question.objects.reachable().open().with_paper()
    return render(request, "question_list.html", {"page": page_of(request, rows)})


@require_POST
def ticket_ask(request: HttpRequest, number: str, revision: int, position: int) -> HttpResponse:
    row = get_ticket(request, number, revision)
    line = get_object_or_404(row.lines.all(), position=position)
    by: Any = request.user
    try:
        ask(line, request.POST.get("words", ""), by=by, at=timezone.now())
    except Refused as refused:
        context = all_about(request, row, ask_refusal=str(refused), ask_refused_at=position)
        context["typed"] = request.POST.get("words", "")
        return render(request, "ticket.html", context, status=422)
    messages.success(request, f"Asked about line {position}: the fitter sees it first thing.")
    return redirect(f"{row.get_absolute_url()}#ticks-{position}")


@require_POST
def question_answer(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_question(request, pk)
    paper = row.line.ticket
    by: Any = request.user
    typed = request.POST.get("words", "")
    try:
        answer(row, typed, by=by, at=timezone.now())
    except Refused as refused:
        shown = get_ticket(request, paper.number, paper.revision)
        context = all_about(request, shown, answer_refusal=str(refused), answer_refused_at=row.pk)
        return render(request, "ticket.html", context | {"typed": typed}, status=422)
    messages.success(request, f"Answered: {paper}, line {row.line.position}.")
    return redirect(f"{paper.get_absolute_url()}#question-{row.pk}")
