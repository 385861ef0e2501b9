"""What is moved when a sleeve is tried before cutting: one signed amount each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import Any, Final, cast
from urllib.parse import urlencode

from django import forms

from patterns.geometry.sleeve import LEVELS, Levels
from patterns.rules.trial import Wanted

# The step of every length in mm, by the unit that whoever tries it thinks in: 1 mm or 1/8 in.
STEP_MM: Final[Mapping[str, float]] = {"mm": 1.0, "cm": 1.0, "in": 3.175}
SIDES: Final = (("left", "Wearer's left"), ("right", "Wearer's right"))
HINDARM, FOREARM = ("down and in", "up and out"), ("up and out", "down and in")
IRON: Final = ("elbow turns", "seam only")


class Slide(forms.NumberInput):
    input_type = "range"


class AmountField(forms.FloatField):
    """A signed amount between two bounds; nothing typed is nothing moved."""

    widget = Slide

    def __init__(self, label: str, ways: tuple[str, str], low: float, high: float) -> None:
        super().__init__(label=label, required=False, min_value=low, max_value=high)
        self.ways, self.low, self.high = ways, low, high

    def step(self, by: float) -> None:
        """Step in whole steps from nought, as many as fit."""
        for name, bound in (("min", self.low), ("max", self.high)):
            self.widget.attrs[name] = f"{by * int(bound / by):g}"
        self.widget.attrs["step"] = f"{by:g}"

    def clean(self, value: Any) -> float:
        return float(super().clean(value) or 0.0)


def _length(label: str, ways: tuple[str, str], most_mm: float = 20.0) -> AmountField:
    return AmountField(label, ways, -most_mm, most_mm)


def _iron(label: str) -> AmountField:
    return AmountField(label, IRON, 0.0, 100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """One amount as the page shows it: its field, what it is now, and its two keys."""

    bound: forms.BoundField
    words: str
    size_mm: float | None
    keys: tuple[tuple[str, str, str], ...]


class TryForm(forms.Form):
    side = forms.ChoiceField(choices=SIDES, widget=forms.RadioSelect, label="Which sleeve")
    pitch = _length("Pitch", ("cuff back", "cuff forward"))
    hindarm = _length("Hindarm seam", HINDARM)
    forearm = _length("Forearm seam", FOREARM)
    hindarm_ironed = _iron("Hindarm, ironed")
    forearm_ironed = _iron("Forearm, ironed")
    crown = _length("Crown", ("lower", "higher"), 15.0)
    bend = _length("Bend: hindarm", ("shorter", "longer"), 15.0)
    hindarm_head = _length("Hindarm seam, more at the head", HINDARM)
    hindarm_elbow = _length("Hindarm seam, more at the elbow", HINDARM)
    hindarm_cuff = _length("Hindarm seam, more at the cuff", HINDARM)
    forearm_head = _length("Forearm seam, more at the head", FOREARM)
    forearm_elbow = _length("Forearm seam, more at the elbow", FOREARM)
    forearm_cuff = _length("Forearm seam, more at the cuff", FOREARM)

    MAIN: Final = ("pitch", "hindarm", "forearm", "crown", "bend")
    IRONED: Final = ("hindarm_ironed", "forearm_ironed")
    LEVELLED: Final = tuple(
        f"{seam}_{level}" for seam in ("hindarm", "forearm") for level in LEVELS
    )

    def __init__(self, data: Mapping[str, Any], *, unit: str) -> None:
        amounts = (*self.MAIN, *self.IRONED, *self.LEVELLED)
        given = {name: data.get(name) or "0" for name in amounts}
        super().__init__({**given, "side": data.get("side") or "left"})
        for name in (*self.MAIN, *self.LEVELLED):
            self._amount(name).step(STEP_MM[unit])
        for name in self.IRONED:
            self._amount(name).step(10.0)

    def _amount(self, name: str) -> AmountField:
        return cast(AmountField, self.fields[name])

    @property
    def wanted(self) -> Wanted:
        """What is asked for, of a form that is valid."""
        given = self.cleaned_data
        return Wanted(
            pitch_mm=given["pitch"],
            hindarm_mm=self._levels("hindarm"),
            forearm_mm=self._levels("forearm"),
            hindarm_ironed=given["hindarm_ironed"] / 100,
            forearm_ironed=given["forearm_ironed"] / 100,
            crown_mm=given["crown"],
            bend_mm=given["bend"],
        )

    def _levels(self, seam: str) -> Levels:
        besides = {level: self.cleaned_data[f"{seam}_{level}"] for level in LEVELS}
        return Levels.alike(self.cleaned_data[seam]) + Levels(**besides)

    @property
    def query(self) -> str:
        """The address's query that asks for the same again."""
        given = {name: value for name, value in self.cleaned_data.items() if value}
        return urlencode({n: f"{v:g}" if isinstance(v, float) else v for n, v in given.items()})

    @property
    def main(self) -> Iterator[Control]:
        return map(self._length, self.MAIN)

    @property
    def levelled(self) -> Iterator[Control]:
        return map(self._length, self.LEVELLED)

    @property
    def ironed(self) -> Iterator[Control]:
        return map(self._iron, self.IRONED)

    @property
    def controls(self) -> Iterator[Control]:
        return chain(self.main, self.ironed, self.levelled)

    @property
    def by_level(self) -> bool:
        """Whether a seam moves otherwise at one level than at another."""
        return any(self._value(name) for name in self.LEVELLED)

    def _length(self, name: str) -> Control:
        value, (less, more) = self._value(name), self._amount(name).ways
        return Control(
            bound=self[name],
            words="as it is" if not value else more if value > 0 else less,
            size_mm=abs(value) or None,
            keys=((f"{name}:-1", "−", less), (f"{name}:1", "+", more)),
        )

    def _iron(self, name: str) -> Control:
        value, (none, whole) = self._value(name), IRON
        words = f"{value:.0f} % ironed, the rest turns the elbow"
        if value in (0.0, 100.0):
            words = f"{'ironed' if value else 're-drafted'}: {whole if value else none}"
        return Control(
            bound=self[name],
            words=words,
            size_mm=None,
            keys=((f"{name}:none", "0 %", none), (f"{name}:whole", "100 %", whole)),
        )

    def _value(self, name: str) -> float:
        value: float = self.cleaned_data.get(name, 0.0) if self.is_valid() else 0.0
        return value

    def pressed(self, key: str) -> None:
        """One key of a valid form pressed: `pitch:1` is a step more, `pitch:-1` a step less,
        `hindarm_ironed:none` and `:whole` are the two ends."""
        name, _, way = key.partition(":")
        if name in self.IRONED and way in ("none", "whole"):
            self.cleaned_data[name] = 100.0 if way == "whole" else 0.0
        elif name in (*self.MAIN, *self.LEVELLED) and way in ("-1", "1"):
            attrs = self._amount(name).widget.attrs
            moved = self.cleaned_data[name] + int(way) * float(attrs["step"])
            self.cleaned_data[name] = min(max(moved, float(attrs["min"])), float(attrs["max"]))
