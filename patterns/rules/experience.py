"""The shop's own experience: what share of a change really comes, and what is asked for then.

Sleeve geometry, section 2: the shop's own experience may scale the law's value ("share that
comes", 1 until learnt). The readings, their noise and every limit stay what they are.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from patterns.geometry.refusals import GeometryRefused
from patterns.rules import words
from patterns.rules.amend import BUILDERS
from patterns.rules.case import Case
from patterns.rules.correction import Correction, Grounds

# What a rule's amount is called after "this shop's sleeves take 0.85 of".
CALLED: Final = {
    "pitch": "the turn in the armhole",
    "elbow-direction": "the elbow turn",
    "hindarm-shows": "the move of the hindarm seam",
    "forearm-shows": "the move of the forearm seam",
    "crown": "the change of the crown",
    "front-of-head": "the round given in front",
    "ease": "the change of ease",
    "under-head": "the hollow",
    "width": "the change of width",
    "bend": "the change of the hindarm's length",
    "forearm": "the stretching",
    "armhole-depth": "the change of the armhole's depth",
    "armhole-front": "the change of the armhole's front",
    "length": "the change of length",
}


def share_of(case: Case, rule: str) -> float:
    """The share (above 0) that comes of what this rule asks for; 1: as the law says."""
    return case.shop_shares.get(rule, 1.0)


def said(rule: str, share: float, needed_mm: float) -> str:
    """The sentence: 'This shop's sleeves take 0.85 of the turn ...: 9 mm asks for 10.6 mm.'"""
    return (
        f"This shop's sleeves take {share:.2f} of {CALLED[rule]}: {words.mm(needed_mm)} "
        f"asks for {words.mm(needed_mm / share)}."
    )


def asked_for(case: Case, needed: Correction) -> Correction:
    """The correction that brings what is needed, where only a share of a change comes.

    What cannot be built so large (a seam would leave its quarter) stays as needed, and says so.
    """
    share = share_of(case, needed.grounds.rule)
    if share == 1.0:
        return needed
    sentence = said(needed.grounds.rule, share, needed.shift_mm)
    grounds = replace(needed.grounds, because=f"{needed.grounds.because} {sentence}")
    try:
        return built(case, replace(needed, shop_share=share), needed.shift_mm / share, grounds)
    except GeometryRefused as refused:
        told = f"{sentence} It is left at {words.mm(needed.shift_mm)}. {refused}"
        return replace(needed, limits=(*needed.limits, told))


def built(case: Case, old: Correction, amount_mm: float, grounds: Grounds) -> Correction:
    """The same operation by another amount; what it does then is predicted by the shop's share.

    Refuses (GeometryRefused) an amount that the sleeve cannot take.
    """
    build, share = BUILDERS[old.operation], old.shop_share
    again = build(case, replace(old, grounds=grounds), amount_mm)
    if share == 1.0:
        return again
    comes = build(case, replace(old, grounds=grounds), amount_mm * share)
    return replace(again, shop_share=share, predicted=comes.predicted)
