"""Work of every operation, both ways, in ordinary and in difficult cases, as a ticket keeps it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.sleeve import IronedShare
from patterns.rules.amend import BUILDERS
from patterns.rules.case import (
    Case,
    ClearsWhen,
    Crease,
    CreaseKind,
    CuffOffset,
    ElbowDirection,
    FindingSeen,
    HindarmShows,
    InlayPlace,
    Length,
    PitchAngle,
    Side,
    Slack,
    Stage,
    SwingTest,
    Where,
)
from patterns.rules.catalogue import SLEEVE_FINDINGS
from patterns.rules.correction import Correction, Grounds, Operation
from patterns.rules.garment import Seen, propose_on_garment
from patterns.rules.garment_catalogue import GARMENT_FINDINGS
from patterns.rules.head import crown
from patterns.rules.moving import move_forearm_only, move_hindarm_only, turn_elbow
from patterns.rules.propose import amended, as_far_as_it_goes, finished, propose
from patterns.rules.report import correction_report
from patterns.rules.scye import front, underarm
from patterns.rules.turning import recut, turned
from tests.rules.cases import case, sleeve

GROUNDS = Grounds(rule="pitch", sigma_mm=1.0, sources=("r",), because="")
FEW = dict.fromkeys(InlayPlace, 3.0)
PLENTY = dict.fromkeys(InlayPlace, 60.0)
READ = (
    (PitchAngle(id="a", angle_deg=6.5),),
    (PitchAngle(id="a", angle_deg=-6.5),),
    (CuffOffset(id="c", offset_mm=63.0, drop_mm=600.0),),
    (CuffOffset(id="c", offset_mm=-170.0, drop_mm=600.0),),
    (Slack(id="s", where=Where.FRONT, depth_mm=14.0),),
    (Slack(id="s", where=Where.BACK, depth_mm=14.0),),
    (SwingTest(id="w", clears_when_arm_goes=ClearsWhen.BACK),),
    (SwingTest(id="w", clears_when_arm_goes=ClearsWhen.FORWARD),),
    (Crease(id="k", where=Where.FRONT, kind=CreaseKind.SLACK),),
    (Crease(id="k", where=Where.FRONT, kind=CreaseKind.STRAIN),),
    (Crease(id="k", where=Where.BACK, kind=CreaseKind.SLACK),),
    (Crease(id="k", where=Where.BACK, kind=CreaseKind.STRAIN),),
    (ElbowDirection(id="e", turn_deg=8.0),),
    (ElbowDirection(id="e", turn_deg=-8.0),),
    (HindarmShows(id="h", by_mm=12.0, want_mm=0.0),),
    (HindarmShows(id="h", by_mm=0.0, want_mm=8.0),),
    (HindarmShows(id="h", by_mm=-8.0, want_mm=8.0),),
    (HindarmShows(id="h", by_mm=8.0, want_mm=-6.0),),
    (Length(id="l", amount_mm=8.0),),
    (Length(id="l", amount_mm=-8.0),),
)
BUILT = (
    lambda at, mm: turned(at, mm, GROUNDS),
    lambda at, mm: recut(at, mm, GROUNDS, "it is past 20 mm"),
    lambda at, mm: recut(at, 3 * mm, GROUNDS, "it is past 20 mm with the 8 mm turned before"),
    lambda at, mm: turn_elbow(at, mm, GROUNDS),
    lambda at, mm: turn_elbow(at, mm, GROUNDS, hindarm_part=0.0),
    lambda at, mm: turn_elbow(at, mm, GROUNDS, hindarm_part=1.0),
    lambda at, mm: move_hindarm_only(at, mm, GROUNDS),
    lambda at, mm: move_forearm_only(at, mm, GROUNDS),
    lambda at, mm: crown(at, mm, GROUNDS),
    lambda at, mm: underarm(at, mm, GROUNDS),
    lambda at, mm: front(at, mm, GROUNDS),
)


def corrections() -> Iterator[Correction]:
    """Everything the rules say of a sleeve, by every way of building it."""
    for read in READ:
        for side in Side:
            yield from propose(case(*read, side=side)).corrections
    for row in SLEEVE_FINDINGS:
        for amount in (None, 8.0):
            read_row = FindingSeen(id="f", finding=row.id, amount_mm=amount)
            yield from propose(case(read_row)).corrections
    for at in _cases():
        for build in BUILT:
            for mm in (-8.0, 8.0):
                yield from _finished(at, build, mm)
        for operation in Operation:
            yield from _by_operation(at, operation)


def _cases() -> Iterator[Case]:
    ironed = sleeve(ironed_share=IronedShare(hindarm=0.5, forearm=0.5))
    for stage in Stage:
        yield case(stage=stage, inlays_mm=PLENTY)
    yield case(inlays_mm=FEW)
    yield case(inlays_mm=FEW, side=Side.RIGHT)
    yield case(sleeve=ironed)
    yield case(sleeve=replace(sleeve(), notch_shift_mm=16.0))


def _by_operation(at: Case, operation: Operation) -> Iterator[Correction]:
    """Built again by another amount, as an amendment is."""
    first = next((one for one in propose(at).corrections), None) or turned(at, 8.0, GROUNDS)
    for mm in (-8.0, 8.0):
        yield from _finished(at, lambda at, mm: BUILDERS[operation](at, first, mm), mm)


def _finished(at: Case, build: Any, mm: float) -> Iterator[Correction]:
    try:
        done = finished(at, build(at, mm))
        yield done
        yield as_far_as_it_goes(at, done)
        yield amended(at, done, 0.5 * mm)
    except GeometryRefused:
        return


@cache
def every_line() -> tuple[dict[str, Any], ...]:
    """All that the rules can write on a ticket; made once in a run."""
    return (*(correction_report(correction) for correction in corrections()), *_garment_lines())


def _garment_lines() -> Iterator[dict[str, Any]]:
    """Every remedy of every row, with an amount read and without, at an early and a late stage."""
    for row in GARMENT_FINDINGS.values():
        for remedy in row.remedies:
            for amount in (None, 8.0):
                for stage in (Stage.BASTE, Stage.FINISH):
                    seen = Seen(id="f", row=row, answer=remedy.id, amount_mm=amount)
                    side = "left" if row.sided else ""
                    found = propose_on_garment([seen], side=side, stage=stage)
                    yield from (one.report() for one in found.corrections)
