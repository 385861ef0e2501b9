"""From what was seen on a garment to what is proposed: a correction and why, or a question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from patterns.rules import words
from patterns.rules.case import Stage, Tolerances
from patterns.rules.correction import LeftAlone, Question
from patterns.rules.garment_catalogue import GARMENT_FINDINGS
from patterns.rules.garment_correction import GarmentCorrection
from patterns.rules.garment_finding import GarmentFinding, Remedy


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One finding as it was logged: `answer` is a remedy's id or "", `amount_mm` >= 0 or None."""

    id: str
    row: GarmentFinding
    answer: str = ""
    amount_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentAnswers:
    """All the rules have to say about one side of a garment, or about the whole of it."""

    corrections: tuple[GarmentCorrection, ...] = ()
    questions: tuple[tuple[GarmentFinding, Question], ...] = ()
    left_alone: tuple[LeftAlone, ...] = ()


def propose_on_garment(
    seen: Iterable[Seen],
    *,
    side: str,
    stage: Stage,
    left_mm: Mapping[str, float] | None = None,
    tolerances: Tolerances | None = None,
) -> GarmentAnswers:
    """One answer for each finding; `seen` in the order it was logged, the newest word counts.

    `left_mm` is the inlay that is left, by `Remedy.account`: each correction takes its cloth, and
    what comes later finds what is left of it. Before the cloth is cut nothing limits.
    """
    found: dict[str, list[Seen]] = {}
    for one in seen:
        found.setdefault(one.row.id, []).append(one)
    answers = [
        (logged[-1].row, _answer(logged, side, stage, tolerances or Tolerances(), set(found)))
        for logged in found.values()
    ]
    needed = [a for _, a in answers if isinstance(a, GarmentCorrection)]
    return GarmentAnswers(
        corrections=tuple(_within_inlay(needed, {} if stage is Stage.MEASURED else left_mm or {})),
        questions=tuple((row, a) for row, a in answers if isinstance(a, Question)),
        left_alone=tuple(a for _, a in answers if isinstance(a, LeftAlone)),
    )


def _within_inlay(
    wanted: Iterable[GarmentCorrection], left_mm: Mapping[str, float]
) -> Iterator[GarmentCorrection]:
    left = dict(left_mm)
    for correction in wanted:
        account = correction.remedy.account
        one = replace(correction, left_mm=left.get(account))
        if one.left_mm is not None:
            left[account] = max(0.0, one.left_mm - one.reachable_mm)
        yield one


def as_far_as_the_inlay_reaches(correction: GarmentCorrection) -> GarmentCorrection:
    """The same work by what can be let out."""
    if correction.share >= 1.0:
        return correction
    reached = correction.reachable_mm
    why = (
        f"Wanted {words.mm(correction.shift_mm)}; the inlay reaches {words.mm(reached)}, the rest "
        "stays for the next pattern."
    )
    return replace(correction, shift_mm=reached, because=f"{correction.because} {why}")


def by_another_amount(correction: GarmentCorrection, amount_mm: float) -> GarmentCorrection:
    """The same work by the fitter's own amount, mm > 0."""
    why = f"Amended by the fitter from {words.mm(correction.shift_mm)} to {words.mm(amount_mm)}."
    return replace(correction, shift_mm=amount_mm, because=f"{correction.because} {why}")


def _answer(
    logged: Sequence[Seen], side: str, stage: Stage, tolerances: Tolerances, all_ids: set[str]
) -> GarmentCorrection | Question | LeftAlone:
    row, sources = logged[-1].row, tuple(one.id for one in logged)
    if row.opposite in all_ids:
        return _opposite(row, sources)
    said = next((one.answer for one in reversed(logged) if one.answer), "")
    remedy = row.remedy(said)
    if remedy is None:
        return Question(
            rule=row.id,
            text=f"{row.name}: {row.question}",
            sources=sources,
            answers=tuple(one.answer for one in row.remedies),
        )
    read = next((one.amount_mm for one in reversed(logged) if one.amount_mm is not None), None)
    amount = read if read is not None else (row.usual_mm[1] if row.usual_mm else None)
    if amount is None:
        return Question(rule=row.id, text=f"{row.name}: by how much?", sources=sources)
    if read is not None and read < tolerances.habit_mm:
        return _left_alone(row, read, tolerances.habit_mm, sources)
    return GarmentCorrection(
        side=side,
        row=row,
        remedy=remedy,
        shift_mm=float(amount),
        because=_because(row, remedy, was_read=read is not None),
        sources=sources,
        stage=stage,
    )


def _opposite(row: GarmentFinding, sources: tuple[str, ...]) -> Question:
    other = GARMENT_FINDINGS[row.opposite].name
    return Question(
        rule=row.id,
        text=f"Both cannot be: {row.name}; {other}. Take one back.",
        sources=sources,
    )


def _left_alone(
    row: GarmentFinding, amount_mm: float, habit_mm: float, sources: tuple[str, ...]
) -> LeftAlone:
    return LeftAlone(
        rule=row.id,
        text=f"{row.name} left alone: {words.mm(amount_mm)} is less than the making tolerance, "
        f"{words.mm(habit_mm)}.",
        sources=sources,
        shift_mm=amount_mm,
        sigma_mm=habit_mm,
    )


def _because(row: GarmentFinding, remedy: Remedy, *, was_read: bool) -> str:
    told = f"{row.seen} {row.cause}"
    if remedy.answer:
        told += f" {remedy.answer}."
    if was_read or row.usual_mm is None:
        return f"{told} Amount as read at the fitting."
    least, usual, most = row.usual_mm
    between = f"{least:g} to {most:g} mm" if least < most else f"{usual:g} mm"
    return f"{told} Amount usual, {between}."
