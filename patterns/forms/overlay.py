"""The form that chooses what is laid over what, and on which points."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django import forms
from django.db.models import Q, QuerySet

from patterns.models import PatternVersion

POINTS: Final = (
    ("crown", "Crown notch"),
    ("front pitch", "Front pitch"),
    ("back pitch", "Back pitch"),
    ("hindarm top", "Top of the hindarm seam"),
    ("hindarm elbow", "Elbow on the hindarm"),
    ("hindarm cuff", "Hindarm corner of the cuff"),
    ("forearm top", "Top of the forearm seam"),
    ("forearm elbow", "Elbow on the forearm"),
    ("forearm cuff", "Forearm corner of the cuff"),
)
AS_DRAFTED: Final = "none: as drafted"


class OverlayForm(forms.Form):
    """A GET form: what is left out stands at what is usual, the version it came from."""

    over: forms.ModelChoiceField[PatternVersion] = forms.ModelChoiceField(
        queryset=None, label="The old line is", empty_label=None
    )
    first = forms.ChoiceField(
        label="Laid on this point", choices=[("", AS_DRAFTED), *POINTS], required=False
    )
    second = forms.ChoiceField(
        label="and turned toward this one",
        choices=[("", "none: not turned"), *POINTS],
        required=False,
    )

    def __init__(self, version: PatternVersion, asked: Mapping[str, Any]) -> None:
        choices = laid_over(version)
        usual = version.parent_id or choices.values_list("pk", flat=True).first()
        super().__init__({"over": usual, **asked})
        self.anything = usual is not None
        over: Any = self.fields["over"]
        over.queryset = choices

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        first, second = said.get("first"), said.get("second")
        if second and not first:
            self.add_error("first", "Choose the point that is laid on first, then the second.")
        elif second and first == second:
            self.add_error("second", "This is the first point again: choose another, or none.")
        return said

    @property
    def on(self) -> tuple[str, ...]:
        return tuple(
            self.cleaned_data[name] for name in ("first", "second") if self.cleaned_data[name]
        )


def laid_over(version: PatternVersion) -> QuerySet[PatternVersion]:
    """Other versions of this pattern, of those it branched from or into, and of every pattern the
    same customers' garments were cut from; without the drawings, newest patterns first."""
    own = PatternVersion.objects.filter(pattern=version.pattern_id)
    theirs = own.filter(orders__customer__erased_on=None).values("orders__customer")
    cut = PatternVersion.objects.filter(orders__customer__in=theirs).values("pattern")
    kin = (
        Q(pattern=version.pattern_id)
        | Q(pattern__in=cut)
        | Q(pattern__branched_from__pattern=version.pattern_id)
        | Q(pattern__versions__branches=version.pattern_id)
    )
    rows = PatternVersion.objects.filter(
        pk__in=PatternVersion.objects.filter(kin).values("pk")
    ).exclude(pk=version.pk)
    drawings = ("sides", "changes")
    return rows.select_related("pattern").defer(*drawings).order_by("-pattern", "-number")
