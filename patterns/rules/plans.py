"""Sets of changes that could answer the readings of one side, and how near each comes.

A plan names its changes; its amounts are the weighted least squares of what is wanted, within the
limits. The best plan leaves least open, then has the fewest changes, then moves the least cloth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np

from patterns.geometry.visibility import shows_from_side
from patterns.rules.bounded import least_squares
from patterns.rules.case import Case
from patterns.rules.hang import elbow_points_deg, elbow_section
from patterns.rules.limits import Amounts, Limit, as_rows
from patterns.rules.targets import Quantity, Target

_PASSES: Final = 12
_STEP_MM: Final = 1e-3
_STILL_MM: Final = 1e-5
_NOTHING: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change: the directions in which it moves the amounts, and what keeps it one."""

    directions: tuple[Amounts, ...]
    limits: tuple[Limit, ...] = ()
    uneven: bool = False


def _one_way(way: float) -> tuple[Limit, ...]:
    said = "the seams would move against each other"
    return tuple(
        Limit(parts=parts, most=0.0, beyond=said, hard=True)
        for parts in (Amounts(hindarm=-way), Amounts(forearm=-way))
    )


_BOTH_SEAMS: Final = (Amounts(hindarm=1.0), Amounts(forearm=1.0))
TURN: Final = Change(directions=(Amounts(turn=1.0),))
RECUT: Final = Change(directions=(Amounts(recut=1.0),))
ELBOW: Final = Change(directions=(Amounts(hindarm=1.0, forearm=1.0),))
ELBOW_OUT: Final = Change(directions=_BOTH_SEAMS, limits=_one_way(1.0), uneven=True)
ELBOW_BY_FOREARM: Final = Change(directions=(Amounts(forearm=1.0),), uneven=True)
ELBOW_IN: Final = Change(directions=_BOTH_SEAMS, limits=_one_way(-1.0), uneven=True)
SEAM_ONLY: Final = Change(directions=(Amounts(seam_only=1.0),))
BEND: Final = Change(directions=(Amounts(bend=1.0),))
LENGTH: Final = Change(directions=(Amounts(length=1.0),))

# What may answer each quantity: what nobody read is not changed.
ANSWERS: Final = {
    Quantity.PITCH: (TURN, RECUT),
    Quantity.ELBOW_TURN: (ELBOW, ELBOW_BY_FOREARM, ELBOW_OUT, ELBOW_IN),
    Quantity.HINDARM_SHOWS: (SEAM_ONLY,),
    Quantity.BEND: (BEND,),
    Quantity.LENGTH: (LENGTH,),
}

_MOVED_BY: Final = {
    Quantity.PITCH: Amounts(turn=1.0, recut=1.0),
    Quantity.HINDARM_SHOWS: Amounts(hindarm=1.0, seam_only=1.0),
    Quantity.BEND: Amounts(bend=1.0),
    Quantity.LENGTH: Amounts(length=1.0),
}

Plan = tuple[Change, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A plan with its amounts, and what they leave of each target, in the target's unit."""

    plan: Plan
    amounts: Amounts
    left: tuple[float, ...]
    open_: tuple[bool, ...]
    excess: float

    @property
    def rank(self) -> tuple[float, ...]:
        """The smaller the better; of the same cloth, what is shared out most evenly."""
        a = self.amounts
        out_and_back = a.hindarm * a.seam_only < -_NOTHING
        awkward = 2 * out_and_back + sum(change.uneven for change in self.plan)
        cloth = sum(abs(mm) for mm in a) + abs(a.recut)  # a recut is cut on both pieces
        widest = max(abs(mm) for mm in a)
        still_open = sum(self.open_), round(self.excess, 6)
        return (*still_open, len(self.plan), awkward, round(cloth, 3), round(widest, 3))


def plans_for(targets: Sequence[Target]) -> Iterator[Plan]:
    """Every set of changes that may answer these targets, none first."""
    choices = [(None, *ANSWERS[target.quantity]) for target in targets]
    for chosen in product(*choices):
        yield tuple(change for change in chosen if change is not None)


def best_fit(
    case: Case,
    targets: Sequence[Target],
    limits: tuple[Limit, ...],
    allows: Callable[[Plan], bool] = lambda _: True,
) -> Fit:
    """The best of the allowed plans whose every change is worth cutting.

    Bend and length share no limit and no reading with anything else: each is planned by itself.
    """
    plan: Plan = ()
    moved = np.zeros(len(Amounts()))
    for group in _groups(targets):
        fits = (fit(case, group, plan, limits) for plan in plans_for(group) if allows(plan))
        best = min((f for f in fits if is_worth_it(case, f)), key=lambda f: f.rank)
        plan += best.plan
        moved += best.amounts
    return judged(case, targets, plan, Amounts(*(float(mm) for mm in moved)))


def _groups(targets: Sequence[Target]) -> Iterator[list[Target]]:
    alone = {Quantity.BEND, Quantity.LENGTH}
    yield [target for target in targets if target.quantity not in alone]
    yield from ([target] for target in targets if target.quantity in alone)


def is_worth_it(case: Case, made: Fit) -> bool:
    """Whether no change of it is below its making tolerance."""
    a, geometric, habit = made.amounts, case.tolerances.geometric_mm, case.tolerances.habit_mm
    sizes = {
        TURN: (a.turn, geometric),
        RECUT: (a.recut, geometric),
        SEAM_ONLY: (a.seam_only, geometric),
        BEND: (a.bend, habit),
        LENGTH: (a.length, habit),
    }
    elbow = ((a.hindarm + a.forearm) / 2.0, geometric)
    return all(abs(mm) > least for mm, least in (sizes.get(c, elbow) for c in made.plan))


def fit(case: Case, targets: Sequence[Target], plan: Plan, limits: tuple[Limit, ...]) -> Fit:
    """Weighted least squares of the targets by this plan's changes, within the limits.

    Gauss-Newton steps: only the elbow of a section that is not round, or part ironed, needs more
    than one.
    """
    amounts = Amounts()
    if plan and targets:
        ways = np.array([d for change in plan for d in change.directions]).T
        own = tuple(limit for change in plan for limit in change.limits)
        rows, most = as_rows(limits + own)
        weights = np.array([1.0 / _noise(target) for target in targets])[:, None]
        for _ in range(_PASSES):
            slopes = np.array([_slopes(case, target, amounts) for target in targets])
            short = np.array([_short(case, target, amounts) for target in targets])
            aim = short + slopes @ np.array(amounts)
            step = least_squares(weights * slopes @ ways, weights[:, 0] * aim, rows @ ways, most)
            before, amounts = amounts, Amounts(*(float(mm) for mm in ways @ step))
            if np.abs(np.subtract(amounts, before)).max() < _STILL_MM:
                break
    return judged(case, targets, plan, amounts)


def judged(case: Case, targets: Sequence[Target], plan: Plan, amounts: Amounts) -> Fit:
    """What these amounts leave of each target, and which of them stay open."""
    left = tuple(left_of(case, target, amounts) for target in targets)
    open_ = tuple(
        abs(remaining) > target.limit and not _seam_in_noise(case, target, amounts)
        for target, remaining in zip(targets, left, strict=True)
    )
    over = (
        abs(remaining) / target.limit - 1.0
        for target, remaining, is_open in zip(targets, left, open_, strict=True)
        if is_open
    )
    return Fit(plan=plan, amounts=amounts, left=left, open_=open_, excess=sum(over, 0.0))


def left_of(case: Case, target: Target, amounts: Amounts) -> float:
    """What the amounts leave of what was wanted, in the target's own unit."""
    if target.quantity is Quantity.ELBOW_TURN:
        return _short(case, target, amounts)
    if target.quantity is Quantity.HINDARM_SHOWS:
        lies_mm = target.lies_mm + amounts.hindarm + amounts.seam_only
        return target.to_show_mm - shows_from_side(elbow_section(case.sleeve), lies_mm)
    return _short(case, target, amounts) * target.sigma / target.sigma_mm


def _seam_in_noise(case: Case, target: Target, amounts: Amounts) -> bool:
    """Whether the hindarm lies where it should within what the eye can tell of its place."""
    if target.quantity is not Quantity.HINDARM_SHOWS:
        return False
    return abs(_short(case, target, amounts)) <= target.sigma_mm


def _noise(target: Target) -> float:
    return target.sigma if target.quantity is Quantity.ELBOW_TURN else target.sigma_mm


def _short(case: Case, target: Target, amounts: Amounts) -> float:
    """What the amounts leave: degrees of the elbow, of all else millimetres on the pattern.

    What shows counts by the seam's place round the sleeve, which goes evenly with the work.
    """
    if target.quantity is not Quantity.ELBOW_TURN:
        parts = _MOVED_BY[target.quantity]
        return target.shift_mm - sum(p * mm for p, mm in zip(parts, amounts, strict=True))
    after = elbow_points_deg(case.sleeve, amounts.hindarm, amounts.forearm)
    return target.wanted - (after - elbow_points_deg(case.sleeve))


def _slopes(case: Case, target: Target, amounts: Amounts) -> Amounts:
    """By how much each amount, 1 mm more, brings the target nearer."""
    if target.quantity is not Quantity.ELBOW_TURN:
        return _MOVED_BY[target.quantity]
    here, lies = _short(case, target, amounts), case.sleeve
    slopes = {}
    for seam, stands in (("hindarm", lies.hindarm_shift_mm), ("forearm", lies.forearm_shift_mm)):
        # Towards the fold, where the law holds.
        step = -_STEP_MM if stands.elbow + getattr(amounts, seam) >= 0.0 else _STEP_MM
        there = amounts._replace(**{seam: getattr(amounts, seam) + step})
        slopes[seam] = (here - _short(case, target, there)) / step
    return Amounts(**slopes)
