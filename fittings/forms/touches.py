"""Touches on a photograph as a form: two numbers for each, which the page fills by touch."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from django import forms
from django.forms.boundfield import BoundField

from fittings.forms.fields import LengthField
from fittings.models import MarkKind
from fittings.photographs.touching import Group, Touch, Touched, groups
from patterns.geometry.touches import Point

BOTH: Final = "A place needs both numbers: across and down."
MOST_RULE_MM: Final = 3000


class PlaceField(forms.DecimalField):
    """A share of the picture's width or height in per cent; the decimal sign may be a comma."""

    widget = forms.TextInput(
        attrs={"inputmode": "decimal", "autocomplete": "off", "class": "place"}
    )

    def __init__(self, label: str) -> None:
        super().__init__(
            label=label,
            min_value=0,
            max_value=100,
            decimal_places=4,
            required=False,
            localize=False,
        )

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One touch on the page, with the two inputs that hold it."""

    touch: Touch
    number: int
    x: BoundField
    y: BoundField


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedGroup:
    group: Group
    touches: list[Asked]


class PlacesForm(forms.Form):
    """What measuring and marking share: named places, and who this is, sent twice is kept once."""

    identity = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, data: Any, *, asked: tuple[Group, ...], places: dict[str, Point]) -> None:
        initial: dict[str, Any] = {"identity": uuid.uuid4()}
        for name, (x, y) in places.items():
            initial |= {f"{name}_x": f"{100 * x:.2f}", f"{name}_y": f"{100 * y:.2f}"}
        super().__init__(data, initial=initial)
        self.asked = asked
        for touch in self._touches():
            spoken = touch.asks.capitalize()
            self.fields[f"{touch.name}_x"] = PlaceField(f"{spoken}, % across")
            self.fields[f"{touch.name}_y"] = PlaceField(f"{spoken}, % down")

    def _touches(self) -> Iterator[Touch]:
        for group in self.asked:
            yield from group.touches

    def groups(self) -> Iterator[AskedGroup]:
        """Each group with its inputs, the touches numbered through."""
        number = 0
        for group in self.asked:
            asked = []
            for touch in group.touches:
                number += 1
                x, y = self[f"{touch.name}_x"], self[f"{touch.name}_y"]
                asked.append(Asked(touch=touch, number=number, x=x, y=y))
            yield AskedGroup(group=group, touches=asked)

    def clean(self) -> dict[str, Any]:
        for touch in self._touches():
            x, y = (self.cleaned_data.get(f"{touch.name}_{axis}") for axis in "xy")
            if (x is None) != (y is None):
                self.add_error(f"{touch.name}_{'x' if x is None else 'y'}", BOTH)
        return self.cleaned_data

    def places(self) -> dict[str, Point]:
        """What was touched, as shares from 0 to 1."""
        found: dict[str, Point] = {}
        for touch in self._touches():
            x, y = (self.cleaned_data.get(f"{touch.name}_{axis}") for axis in "xy")
            if x is not None and y is not None:
                found[touch.name] = (float(x / 100), float(y / 100))
        return found


class MeasureForm(PlacesForm):
    rule = LengthField(label="How long it is", required=False)

    def __init__(
        self, data: Any = None, *, side: str, unit: str, touched: Touched | None = None
    ) -> None:
        places = dict(touched.places) if touched else {}
        super().__init__(data, asked=groups(side), places=places)
        self.side = side
        rule = self.fields["rule"]
        if isinstance(rule, LengthField):
            rule.unit, rule.label = unit, f"How long the known length is, {unit}"
        if touched is not None and touched.rule_mm is not None:
            self.initial["rule"] = Decimal(str(touched.rule_mm))

    def clean_rule(self) -> Any:
        rule = self.cleaned_data["rule"]
        if rule is not None and rule.mm > MOST_RULE_MM:
            raise forms.ValidationError("No rule in the picture is so long: look at its unit.")
        return rule

    def clean(self) -> dict[str, Any]:
        """A known length needs to be known."""
        super().clean()
        begun = any(name.startswith("rule_") for name in self.places())
        if begun and "rule" not in self.errors and self.cleaned_data.get("rule") is None:
            self.add_error("rule", "Write how long it is, or lift both its ends.")
        return self.cleaned_data

    def touched(self) -> Touched:
        rule = self.cleaned_data["rule"]
        return Touched(
            side=self.side, places=self.places(), rule_mm=float(rule.mm) if rule else None
        )


MARK_GROUPS: Final = (
    Group(
        name=MarkKind.PIN,
        title="Pin",
        why="One tap: a numbered pin.",
        needed=True,
        touches=(Touch(name="pin", asks="where the pin goes"),),
    ),
    Group(
        name=MarkKind.CHALK,
        title="Chalk line",
        why="Two taps: a line from the first to the second.",
        needed=True,
        touches=(
            Touch(name="chalk_from", asks="where the chalk line starts"),
            Touch(name="chalk_to", asks="where the chalk line ends"),
        ),
    ),
    Group(
        name=MarkKind.NOTE,
        title="Note",
        why="One tap, then the words, then Save.",
        needed=True,
        touches=(Touch(name="note", asks="what the note is about"),),
    ),
)


class MarkForm(PlacesForm):
    kind = forms.ChoiceField(label="What it is", choices=MarkKind.choices)
    words = forms.CharField(label="Words", max_length=120, required=False)

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, asked=MARK_GROUPS, places={})
        self.initial["kind"] = MarkKind.PIN

    def points(self) -> list[list[float]]:
        """The places of the kind that was chosen, in order."""
        group = next(g for g in self.asked if g.name == self.cleaned_data["kind"])
        places = self.places()
        return [list(places[t.name]) for t in group.touches if t.name in places]

    def clean(self) -> dict[str, Any]:
        super().clean()
        kind = self.cleaned_data.get("kind")
        group = next((g for g in self.asked if g.name == kind), None)
        if group is None or self.errors:
            return self.cleaned_data
        places = self.places()
        missing = next((t for t in group.touches if t.name not in places), None)
        if missing:
            self.add_error(f"{missing.name}_x", f"Touch {missing.asks}.")
        if kind == MarkKind.NOTE and not self.cleaned_data.get("words"):
            self.add_error("words", "Write what the note says.")
        return self.cleaned_data
