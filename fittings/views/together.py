"""All readings of both sleeves answered together: the fewest changes, and what they leave."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from fittings.fitting_room.proposals import both_sides
from fittings.models import Side
from fittings.refusals import Refused
from fittings.views.fitting_room import get_fitting
from patterns.rules.solution import Solution, compare_sides
from patterns.rules.solve import solve


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    side: Side
    solution: Solution


def fitting_together(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_fitting(request, pk)
    answered = [
        Answered(side=side.side, solution=solve(side.case))
        for side in both_sides(row)
        if side.case is not None
    ]
    if not answered:
        raise Refused("This order has no pattern yet: give it one, then the readings are answered.")
    notes = compare_sides(*(one.solution for one in answered))
    context = {"fitting": row, "answered": answered, "notes": notes}
    return render(request, "fitting_together.html", context)
