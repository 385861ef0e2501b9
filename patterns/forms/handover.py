"""The form of what is to be printed of a pattern version."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import Any, Final

from django import forms

from patterns.drawing.full_scale.cutting import SEAM_MM, Cloth
from patterns.drawing.full_scale.layout import TooNarrow
from patterns.drawing.full_scale.tiles import MARGIN_MM
from patterns.geometry.piece import TOP, UNDER
from patterns.geometry.refusals import GeometryRefused
from patterns.makings import makings
from patterns.models import PatternVersion
from patterns.print_order import PAPERS, PrintOrder
from patterns.rules.case import InlayPlace

MOST_SEAM_MM: Final = 40
MOST_INLAY_MM: Final = 150
MOST_ROLL_MM: Final = 3000
ROLL: Final = "roll"
_PIECES = {"top": (TOP,), "under": (UNDER,), "cuff": (TOP, UNDER)}
_PAPER_WORDS = (
    ("a4", "A4 pages"),
    ("letter", "Letter pages"),
    (ROLL, "one sheet off a roll"),
)


class MillimetreField(forms.DecimalField):
    """Whole or part millimetres, with a decimal point or comma."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip().lower().removesuffix("mm").strip()
        return super().to_python(text.replace(",", "."))


class HandoverForm(forms.Form):
    """A GET form: what is left out stands at what is usual. A valid one has made its `order`."""

    side = forms.ChoiceField(label="Side", widget=forms.RadioSelect)
    paper = forms.ChoiceField(label="Paper", choices=_PAPER_WORDS, widget=forms.RadioSelect)
    roll_mm = MillimetreField(
        label="Width of the roll, mm",
        required=False,
        min_value=100,
        max_value=MOST_ROLL_MM,
        help_text="Only for a roll. Usual: 610, 914, 1067 mm.",
    )
    old_line = forms.BooleanField(label="With the old line", required=False)
    seam_mm = MillimetreField(
        label="Seam all round, mm", min_value=0, max_value=MOST_SEAM_MM, max_digits=5
    )

    order: PrintOrder

    def __init__(self, version: PatternVersion, asked: Mapping[str, Any]) -> None:
        super().__init__(_usual(version, asked))
        self.version = version
        sides: Any = self.fields["side"]
        sides.choices = _side_words(version)
        if version.parent is None:
            del self.fields["old_line"]
        for place in InlayPlace:
            self.fields[place.value] = MillimetreField(
                label=f"Inlay, {place.words}, mm",
                required=False,
                min_value=0,
                max_value=MOST_INLAY_MM,
                max_digits=6,
            )

    @property
    def main_fields(self) -> list[forms.BoundField]:
        return [field for field in self if field.name not in set(InlayPlace)]

    @property
    def inlay_fields(self) -> list[forms.BoundField]:
        return [self[place.value] for place in InlayPlace]

    @property
    def has_inlays(self) -> bool:
        return any(field.value() for field in self.inlay_fields)

    def clean(self) -> dict[str, Any]:
        cleaned = self.cleaned_data
        typed = "roll_mm" in self.errors or cleaned.get("roll_mm") is not None
        if cleaned.get("paper") == ROLL and not typed:
            self.add_error("roll_mm", "Write how wide the roll is.")
        if not self.errors:
            self._lay_out(cleaned)
        return cleaned

    def _lay_out(self, cleaned: Mapping[str, Any]) -> None:
        self.order = _order(self.version, cleaned)
        try:
            if self.order.roll_mm:
                self.order.roll  # noqa: B018 (laid out now, so that a refusal is told here)
            else:
                self.order.tiling  # noqa: B018
        except TooNarrow as refused:
            least = ceil(refused.needed_mm + 2 * MARGIN_MM)
            self.add_error("roll_mm", f"The widest piece needs a roll of at least {least} mm.")
        except GeometryRefused as refused:
            self.add_error(None, str(refused))


def _usual(version: PatternVersion, asked: Mapping[str, Any]) -> dict[str, Any]:
    usual = {
        "side": _side_words(version)[0][0],
        "paper": "a4",
        "roll_mm": "914",
        "seam_mm": f"{SEAM_MM:g}",
    }
    # A box not ticked is not sent: only a page opened without any wish is ticked.
    first = {"old_line": "on", **_as_drafted(version)} if not asked else {}
    return usual | first | {key: asked[key] for key in asked}


def _as_drafted(version: PatternVersion) -> dict[str, str]:
    """Seam and inlays as they were chosen at the draft, where anything was chosen."""
    chosen = next((making for making in makings(version).values() if making is not None), None)
    if chosen is None:
        return {}
    seams = list(chosen.seam_mm.values())
    usual = max(set(seams), key=seams.count)
    inlays = {place: f"{mm:g}" for place, mm in chosen.inlay_mm.items() if mm}
    return {"seam_mm": f"{usual:g}", **inlays}


def _side_words(version: PatternVersion) -> list[tuple[str, str]]:
    one = [(side, f"wearer's {side}") for side in ("left", "right") if side in version.sides]
    return [("both", "wearer's left and right"), *one] if len(one) > 1 else one


def _order(version: PatternVersion, cleaned: Mapping[str, Any]) -> PrintOrder:
    sides = ("left", "right") if cleaned["side"] == "both" else (cleaned["side"],)
    on_roll = cleaned["paper"] == ROLL
    inlays = {
        (piece, place.value.rsplit("_", 1)[-1]): float(cleaned[place.value])
        for place in InlayPlace
        if cleaned.get(place.value)
        for piece in _PIECES[place.value.split("_")[0]]
    }
    return PrintOrder(
        version=version,
        sides=sides,
        with_old_line=bool(cleaned.get("old_line")) and version.parent is not None,
        cloth=Cloth(seam_mm=float(cleaned["seam_mm"]), inlays_mm=inlays),
        paper=PAPERS["a4" if on_roll else cleaned["paper"]],
        roll_mm=float(cleaned["roll_mm"]) if on_roll else None,
    )
