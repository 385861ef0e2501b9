"""What solving one side answers: the corrections, what they leave, and how it is said."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Final

from patterns.rules import words
from patterns.rules.case import Case, Side, Tolerances
from patterns.rules.correction import Correction, Question
from patterns.rules.hang import Hang, elbow_points_deg
from patterns.rules.limits import Amounts
from patterns.rules.report import correction_report, question_report
from patterns.rules.targets import Quantity, Target

_LEAST: Final = 0.05

# How each quantity is called, and which way is more and which less.
_NAMES: Final = {
    Quantity.PITCH: ("Pitch", "further forward", "further back"),
    Quantity.ELBOW_TURN: ("Elbow", "further out", "further in"),
    Quantity.HINDARM_SHOWS: ("Hindarm seam from the side", "more to show", "less to show"),
    Quantity.BEND: ("Bend at the elbow", "more", "less"),
    Quantity.LENGTH: ("Length", "longer", "shorter"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Residual:
    """One reading's wish: what was wanted, and what the changes leave of it (deg or mm)."""

    target: Target
    left: float
    is_open: bool

    @property
    def text(self) -> str:
        name = _NAMES[self.target.quantity][0]
        wanted = f"{name}: {self._say(self.target.wanted)} wanted"
        if abs(self.left) < _LEAST:
            return f"{wanted}, nothing is left of it."
        rest = f"{wanted}, {self._say(self.left)} left"
        if self.is_open:
            return f"{rest}: the changes do not reach it, and it stays open."
        return f"{rest}, which is within the noise of the reading or the making tolerance."

    def _say(self, amount: float) -> str:
        _, more, less = _NAMES[self.target.quantity]
        said = words.mm if self.target.quantity.unit == "mm" else words.deg
        return f"{said(amount)} {more if amount >= 0 else less}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The smallest set of changes for one side, in the order of the work, and what it leaves.

    `amounts`: as far as the corrections reach. `now`, `after`: how the sleeve hangs by the laws.
    `refused`: simpler ways, and what speaks against each.
    """

    side: Side
    tolerances: Tolerances
    corrections: tuple[Correction, ...]
    amounts: Amounts
    residuals: tuple[Residual, ...]
    refused: tuple[str, ...]
    questions: tuple[Question, ...]
    now: Hang
    after: Hang

    @property
    def is_closed(self) -> bool:
        """Whether nothing stays open beyond the noise, and nothing must be asked."""
        return not self.questions and not any(residual.is_open for residual in self.residuals)


def solve_report(solution: Solution) -> dict[str, Any]:
    """The solution as plain JSON: lengths in mm, angles in degrees, six decimals."""
    return {
        "side": solution.side.value,
        "closed": solution.is_closed,
        "corrections": [correction_report(correction) for correction in solution.corrections],
        "residuals": [_residual_report(residual) for residual in solution.residuals],
        "refused": list(solution.refused),
        "questions": [question_report(question) for question in solution.questions],
        "hang": {"now": _rounded(asdict(solution.now)), "after": _rounded(asdict(solution.after))},
    }


def _residual_report(residual: Residual) -> dict[str, Any]:
    target = residual.target
    numbers = {
        "wanted": target.wanted,
        "left": residual.left,
        "sigma": target.sigma,
        "limit": target.limit,
    }
    return {
        "what": target.quantity.value,
        "unit": target.quantity.unit,
        **_rounded(numbers),
        "open": residual.is_open,
        "from": list(target.sources),
        "text": residual.text,
    }


def _rounded(numbers: dict[str, float]) -> dict[str, float]:
    return {name: round(number, 6) + 0.0 for name, number in numbers.items()}


def compare_sides(left: Solution, right: Solution) -> tuple[str, ...]:
    """A note for each change in which the wearer's left and right differ by more than is made.

    Refuses ValueError two solutions that are not the wearer's left and the wearer's right.
    """
    if (left.side, right.side) != (Side.LEFT, Side.RIGHT):
        raise ValueError("Give the wearer's left first and the wearer's right second.")
    a, b = left.amounts, right.amounts
    geometric, habit = left.tolerances.geometric_mm, left.tolerances.habit_mm
    changes = (
        ("Pitch", a.turn + a.recut, b.turn + b.recut, geometric, "cuff forward", "cuff back"),
        ("Elbow turn, each seam", _each(a), _each(b), geometric, "outward", "inward"),
        ("Hindarm seam alone", a.seam_only, b.seam_only, geometric, "up and out", "down and in"),
        ("Hindarm over the elbow", a.bend, b.bend, habit, "longer", "shorter"),
        ("Length", a.length, b.length, habit, "longer", "shorter"),
    )
    notes = [
        f"{what}: {Side.LEFT.words} {_way(one, more, less)}, {Side.RIGHT.words} "
        f"{_way(other, more, less)}. Each arm has its own; read both again before cutting."
        for what, one, other, least, more, less in changes
        if abs(one - other) > least
    ]
    apart = left.after.length_mm - right.after.length_mm
    if abs(apart) > habit:
        longer = Side.LEFT if apart > 0 else Side.RIGHT
        notes.append(
            f"Afterwards the {longer.words} sleeve is {words.mm(apart)} longer than the "
            f"{longer.other.words} one; a pair within {words.mm(habit)} is the habit."
        )
    return tuple(notes)


def _each(amounts: Amounts) -> float:
    return (amounts.hindarm + amounts.forearm) / 2.0


def _way(amount: float, more: str, less: str) -> str:
    return f"{words.mm(amount)} {more if amount > 0 else less}" if amount else "nothing"


def in_words(case: Case, amounts: Amounts) -> str:
    """The changes as a cutter would order them: 'turn the sleeve 8 mm, cuff forward'."""
    a = amounts
    turn = elbow_points_deg(case.sleeve, a.hindarm, a.forearm) - elbow_points_deg(case.sleeve)
    said = (
        (a.turn, f"turn the sleeve {words.mm(a.turn)}, cuff {words.cuff(a.turn)}"),
        (a.recut, f"recut the sleeve {words.mm(a.recut)}, cuff {words.cuff(a.recut)}"),
        (_each(a), f"turn the elbow {words.deg(turn)} further {'out' if turn > 0 else 'in'}"),
        (
            a.seam_only,
            f"move the hindarm seam alone {words.mm(a.seam_only)} "
            f"{'up and out' if a.seam_only > 0 else 'down and in'}",
        ),
        (a.bend, f"{'lengthen' if a.bend > 0 else 'shorten'} the hindarm {words.mm(a.bend)}"),
        (
            a.length,
            f"make the sleeve {words.mm(a.length)} {'longer' if a.length > 0 else 'shorter'}",
        ),
    )
    return words.listed([what for amount, what in said if abs(amount) > _LEAST])
