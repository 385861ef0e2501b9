"""What each reading says of the pitch: an amount with its noise, or only which way.

Slack at the front means the arm stands forward of the sleeve, and so does strain at the back; a
crease that is neither decides nothing. Sleeve geometry, section 2.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from patterns.geometry import pitch as law
from patterns.geometry.noise import Estimate
from patterns.rules import words
from patterns.rules.case import (
    Case,
    ClearsWhen,
    Crease,
    CreaseKind,
    CuffOffset,
    FindingSeen,
    PitchAngle,
    Reading,
    Slack,
    SwingTest,
    Where,
)
from patterns.rules.catalogue import FINDINGS

TAPE_SIGMA_MM: Final = 10.0
# A finding without an amount is as uncertain as an angle read by eye (trade practice, no source).
EYE_SIGMA_DEG: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A reading with an amount: the pitch shift it asks for, in mm, and how it is said."""

    reading: Reading
    shift: Estimate
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """A reading that says only which way: +1 cuff forward, -1 cuff back."""

    reading: Reading
    sign: int
    said: str


def amounts(case: Case) -> tuple[Amount, ...]:
    girth = case.armhole.girth_mm
    found: list[Amount] = []
    for angle in case.read(PitchAngle):
        shift = law.shift_from_angle(angle.angle_deg, girth)
        sigma = law.sigma_from_angle(girth, angle.sigma_deg)
        said = f"the arm hangs {_standing(angle.angle_deg, words.deg(angle.angle_deg))}"
        found.append(Amount(reading=angle, shift=Estimate(value=shift, sigma=sigma), said=said))
    for cuff in case.read(CuffOffset):
        turn = law.angle_from_cuff_offset(cuff.offset_mm, cuff.drop_mm)
        sigma = law.sigma_from_cuff_offset(
            girth, cuff.offset_mm, cuff.drop_mm, cuff.sigma_mm, TAPE_SIGMA_MM
        )
        said = (
            f"{words.mm(cuff.drop_mm)} below the armhole the arm stands "
            f"{_standing(cuff.offset_mm, words.mm(cuff.offset_mm))}"
        )
        estimate = Estimate(value=law.shift_from_angle(turn, girth), sigma=sigma)
        found.append(Amount(reading=cuff, shift=estimate, said=said))
    found.extend(_slack(case, slack) for slack in case.read(Slack))
    found.extend(
        _logged(case, seen) for seen in _pitch_findings(case) if seen.amount_mm is not None
    )
    return tuple(found)


def _slack(case: Case, slack: Slack) -> Amount:
    girth, width = case.armhole.girth_mm, case.armhole.pitch_width_mm
    depth = slack.depth_mm if slack.where is Where.FRONT else -slack.depth_mm
    shift = law.shift_from_angle(law.angle_from_slack(depth, width), girth)
    sigma = law.sigma_from_slack(girth, depth, width, slack.sigma_mm)
    said = f"{words.mm(depth)} of slack pins out at the {slack.where.value}"
    return Amount(reading=slack, shift=Estimate(value=shift, sigma=sigma), said=said)


def _logged(case: Case, seen: FindingSeen) -> Amount:
    shift = _sign_of(seen) * (seen.amount_mm or 0.0)
    sigma = law.sigma_from_angle(case.armhole.girth_mm, EYE_SIGMA_DEG)
    said = f"{seen.row.name}, {words.mm(shift)} by the fitter's eye"
    return Amount(reading=seen, shift=Estimate(value=shift, sigma=sigma), said=said)


def directions(case: Case) -> tuple[Direction, ...]:
    """Slack at the front and strain at the back both say the cuff must go forward."""
    found: list[Direction] = []
    for crease in case.read(Crease):
        if crease.kind is not CreaseKind.UNKNOWN:
            forward = (crease.where is Where.FRONT) == (crease.kind is CreaseKind.SLACK)
            said = f"the crease at the {crease.where.value} is {crease.kind.value}"
            found.append(Direction(reading=crease, sign=1 if forward else -1, said=said))
    for swing in case.read(SwingTest):
        if swing.clears_when_arm_goes is not ClearsWhen.NEITHER:
            sign = 1 if swing.clears_when_arm_goes is ClearsWhen.BACK else -1
            said = f"the folds clear when the arm goes {swing.clears_when_arm_goes.value}"
            found.append(Direction(reading=swing, sign=sign, said=said))
    for seen in _pitch_findings(case):
        if seen.amount_mm is None:
            said = seen.row.name
            found.append(Direction(reading=seen, sign=_sign_of(seen), said=said))
    return tuple(found)


def _pitch_findings(case: Case) -> tuple[FindingSeen, ...]:
    return case.seen("pitch_too_far_back", "pitch_too_far_forward")


def _sign_of(seen: FindingSeen) -> int:
    return 1 if seen.finding == "pitch_too_far_back" else -1


def swings(case: Case, clears: ClearsWhen) -> tuple[SwingTest, ...]:
    return tuple(s for s in case.read(SwingTest) if s.clears_when_arm_goes is clears)


def undecided_creases(case: Case) -> tuple[Crease, ...]:
    return tuple(crease for crease in case.read(Crease) if crease.kind is CreaseKind.UNKNOWN)


def _standing(amount: float, said: str) -> str:
    if amount == 0:
        return "in line with the sleeve"
    return f"{said} {'forward of' if amount > 0 else 'behind'} the sleeve"


def usual(case: Case, directions: tuple[Direction, ...]) -> Amount:
    """The usual amount for a direction that nobody measured: a logged row's, else the trade's."""
    logged = [d.reading for d in directions if isinstance(d.reading, FindingSeen)]
    row = logged[-1].row if logged else FINDINGS["pitch_too_far_back"]
    usual = (row.usual_mm or (0.0, 0.0, 0.0))[1]
    sigma = law.sigma_from_angle(case.armhole.girth_mm, EYE_SIGMA_DEG)
    return Amount(
        reading=directions[0].reading,
        shift=Estimate(value=directions[0].sign * usual, sigma=sigma),
        said=f"no amount was read, so the usual {words.mm(usual)} is proposed: "
        "pin it and measure the cuff before cutting",
    )
