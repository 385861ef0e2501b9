"""The two heads of a sleeve as one line: its highest place, its notches, the folds they tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Self

import numpy as np

from patterns.bringing.laying import Laid
from patterns.bringing.names import NOTCHES
from patterns.geometry.arclength import FloatArray
from patterns.geometry.following import Marked
from patterns.rules.outline import HeadNotch

_CROWN, _FRONT, _BACK = NOTCHES[:3]
_ON_HEAD_MM: Final = 0.5
_ALIKE_MM: Final = 3.0
_LEAST_TURN_MM: Final = 1.0
_CLOSE_MM: Final = 60.0  # a crown notch lies so near the highest place


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heads:
    """Both heads, the highest place of the top's as a share of it, and the notches on them."""

    top: Marked
    under: Marked
    apex_share: float
    notches: tuple[HeadNotch, ...]

    @classmethod
    def of(cls, top: Laid, under: Laid) -> Self:
        heads = {one.name: Marked.at(one.edges["head"]) for one in (top, under)}
        apex_share = _highest(heads[top.name])
        notches = [
            HeadNotch(name=name, piece=one.name, share=heads[one.name].nearest(at))
            for one in (top, under)
            for name, at in one.notches
            if name != NOTCHES[3] and _lies_on(heads[one.name], at)
        ]
        drawn = cls(
            top=heads[top.name],
            under=heads[under.name],
            apex_share=apex_share,
            notches=tuple(notches),
        )
        return drawn._all_named()

    @property
    def apex(self) -> FloatArray:
        """The highest point (2,) of the head."""
        return self.top.points(np.array(self.apex_share))

    def ahead_mm(self, notch: HeadNotch) -> float:
        """A notch's distance along the whole head from its highest place, in front above 0."""
        crown_mm = self.apex_share * self.top.length_mm
        if notch.piece == self._top_name:
            return notch.share * self.top.length_mm - crown_mm
        at_mm = notch.share * self.under.length_mm
        ahead = self.top.length_mm - crown_mm + self.under.length_mm - at_mm
        return ahead if ahead <= crown_mm + at_mm else -(crown_mm + at_mm)

    @property
    def shift_mm(self) -> float:
        """How far all three notches were moved forward together since the draft, mm.

        Only where they tell it: a crown notch alone may stand off the highest place for itself.
        """
        away = {n.name: self.ahead_mm(n) for n in self.notches}
        if not {_CROWN, _FRONT, _BACK} <= away.keys():
            return 0.0
        crown_mm = self.apex_share * self.top.length_mm
        front = away[_FRONT] - (self.top.length_mm - crown_mm)
        back = away[_BACK] + crown_mm
        shift = away[_CROWN]
        alike = max(abs(front - shift), abs(back - shift)) < _ALIKE_MM
        return shift if alike and abs(shift) >= _LEAST_TURN_MM else 0.0

    @property
    def crown_off_mm(self) -> float:
        """How far the crown notch stands in front of the highest place, mm; 0 without one."""
        return next((self.ahead_mm(n) for n in self.notches if n.name == _CROWN), 0.0)

    @property
    def folds(self) -> tuple[float, float] | None:
        """How far (mm) hindarm seam (out above 0) and forearm seam (in above 0) lie from the
        folds at the head; None without both pitch notches."""
        found = {n.name: n for n in self.notches}
        if not {_FRONT, _BACK} <= found.keys():
            return None
        front, back = (
            self._point(self.ahead_mm(found[n]) - self.shift_mm) for n in (_FRONT, _BACK)
        )
        out, into = back[0], front[0]
        return float(out), float(into)

    @property
    def pitches(self) -> tuple[FloatArray, FloatArray]:
        """Front and back pitch (2,) on the head; the seams' ends without notches."""
        found = {n.name: n for n in self.notches}
        if not {_FRONT, _BACK} <= found.keys():
            return self.top.path.end_mm, self.top.path.start_mm
        front, back = (
            self._point(self.ahead_mm(found[n]) - self.shift_mm) for n in (_FRONT, _BACK)
        )
        return front[1], back[1]

    def _point(self, ahead_mm: float) -> tuple[float, FloatArray]:
        """A place on the whole head: how far beyond the nearer seam it lies from the top sleeve's
        side (mm along x, on the top above 0), and its point."""
        at_mm = self.apex_share * self.top.length_mm + ahead_mm
        if -_ON_HEAD_MM <= at_mm <= self.top.length_mm + _ON_HEAD_MM:
            point = self.top.points(np.clip(np.array(at_mm / self.top.length_mm), 0.0, 1.0))
            if ahead_mm > 0.0:
                return float(self.top.path.end_mm[0] - point[0]), point
            return float(self.top.path.start_mm[0] - point[0]), point
        past = at_mm - self.top.length_mm
        on_under = self.under.length_mm - past if past > 0.0 else -at_mm
        point = self.under.points(np.array(on_under / self.under.length_mm))
        if past > 0.0:
            return float(point[0] - self.under.path.end_mm[0]), point
        return float(point[0] - self.under.path.start_mm[0]), point

    @property
    def _top_name(self) -> str:
        return "top sleeve"

    def _all_named(self) -> Self:
        """The notches that have no name named by their order: pitch, crown, pitch."""
        named = [n for n in self.notches if n.name]
        bare = sorted((n for n in self.notches if not n.name), key=self.ahead_mm)
        if bare and not named:
            crown = min(bare, key=lambda n: abs(self.ahead_mm(n)))
            if abs(self.ahead_mm(crown)) < _CLOSE_MM and crown.piece == self._top_name:
                at = bare.index(crown)
                named.append(_renamed(crown, _CROWN))
                named += [_renamed(n, _BACK) for n in bare[:at][-1:]]
                named += [_renamed(n, _FRONT) for n in bare[at + 1 :][:1]]
        return type(self)(
            top=self.top, under=self.under, apex_share=self.apex_share, notches=tuple(named)
        )


def _renamed(notch: HeadNotch, name: str) -> HeadNotch:
    return HeadNotch(name=name, piece=notch.piece, share=notch.share)


def _lies_on(head: Marked, at: FloatArray) -> bool:
    return float(np.hypot(*(head.points(np.array(head.nearest(at))) - at))) < _ON_HEAD_MM


def _highest(head: Marked) -> float:
    """Share of the head at its highest place: of samples, then of the parabola through three."""
    shares = np.linspace(0.0, 1.0, 1001)
    y = head.points(shares)[:, 1]
    best = int(np.clip(np.argmin(y), 1, len(y) - 2))
    before, here, after = y[best - 1 : best + 2]
    bend = before - 2 * here + after
    aside = 0.5 * (before - after) / bend if bend > 0.0 else 0.0
    return float(np.clip(shares[best] + aside * (shares[1] - shares[0]), 0.01, 0.99))
