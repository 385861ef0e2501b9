"""Forms about the fitting as a whole, and about what is decided of a proposal."""

from __future__ import annotations

import uuid
from decimal import Decimal
from typing import Any, Final

from django import forms

from fittings.forms.amounts import AmountField, ListField, WayField
from fittings.forms.drawn_once import DrawnOnce
from fittings.forms.fields import speak_unit
from fittings.forms.kept import DateInput, KeptForm
from fittings.models import Fitting, Stage, Verdict
from fittings.units import in_units

FITTED_AT: Final = (Stage.BASTE, Stage.FORWARD, Stage.FINISH, Stage.DELIVERED)
WORN: Final = ("Shirt", "Shirt and waistcoat", "Shirt and pullover", "Undershirt only")


class FittingForm(KeptForm[Fitting]):
    """Stage, day, and what is worn under; all by tapping, the last may be typed instead."""

    class Meta:
        model = Fitting
        fields = ["stage", "held_on", "worn_under"]
        widgets = {"held_on": DateInput()}
        labels = {"held_on": "Day", "worn_under": "Something else worn under"}
        help_texts = {"worn_under": "Only if none of these says it."}

    stage = ListField("forms/way.html", widget=forms.RadioSelect)
    usually_worn = ListField(
        "forms/way.html",
        choices=[(worn, worn) for worn in WORN],
        widget=forms.RadioSelect,
        required=False,
        label="Worn under the garment",
    )
    field_order = ["stage", "held_on", "usually_worn", "worn_under"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stage = self.fields["stage"]
        if isinstance(stage, forms.ChoiceField):
            offered = [s for s in Stage if s in FITTED_AT or s == self.instance.stage]
            stage.choices = [(s.value, s.label) for s in offered]
        if self.instance.worn_under in WORN:
            self.initial["usually_worn"] = self.instance.worn_under
            self.initial["worn_under"] = ""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        cleaned["worn_under"] = cleaned.get("worn_under") or cleaned.get("usually_worn", "")
        return cleaned


# What the fitter can make of each operation: the way of its positive and of its negative amount,
# and where the amount is measured. One way only: the other makes no sense of it.
Ways = tuple[str, str, str]
WAYS: Final[dict[str, Ways]] = {
    "pitch": ("Cuff forward", "Cuff back", "along the armhole"),
    "recut": ("Cuff forward", "Cuff back", "along the armhole"),
    "crown": ("Crown higher", "Crown lower", "at the crown"),
    "front_of_head": ("More round", "", "at the front of the head"),
    "ease": ("More ease", "Less ease", "along the head"),
    "under_head": ("Hollow deeper", "", "at the underarm"),
    "width": ("Wider", "Narrower", "on each piece, at the hindarm"),
    "bend": ("Hindarm longer", "Hindarm shorter", "over the elbow"),
    "forearm": ("Stretch and fill", "", "at the elbow"),
    "length": ("Longer", "Shorter", "at the cuff"),
}
ELBOW: Final[Ways] = ("Elbow further out", "Elbow further in", "on each seam, at the elbow")
HINDARM: Final[Ways] = ("Hindarm seam up and out", "Hindarm seam down and in", "at the elbow")
FOREARM: Final[Ways] = ("Forearm seam down and in", "Forearm seam up and out", "at the elbow")
UNDERARM: Final[Ways] = ("Raise the underarm", "Lower the underarm", "at the lowest part")
SCYE_FRONT: Final[Ways] = ("Fill the front", "Clear the front", "at the front of the armhole")


def ways_of(proposal: dict[str, Any]) -> Ways:
    """How an amendment of this proposal says its direction."""
    operation = proposal["operation"]
    if operation == "garment":
        first = proposal["moves"][0]
        direction = first["direction"]
        return (f"{direction[:1].upper()}{direction[1:]}", "", first["acts"])
    if operation == "seam_shift":
        if proposal.get("meaning") == "elbow_turn":
            return ELBOW
        return HINDARM if any(proposal["hindarm_shift_mm"].values()) else FOREARM
    if operation == "armhole":
        return UNDERARM if proposal.get("armhole_place") == "underarm" else SCYE_FRONT
    return WAYS[operation]


AMENDED_BECAUSE: Final = (
    "Half of it first, then read again",
    "By the eye it needs more",
    "By the eye it needs less",
    "The customer wants it so",
    "The cloth gives no more",
)
REFUSED_BECAUSE: Final = (
    "It hangs well enough",
    "Another cause: look at the body first",
    "Read again at the next fitting",
    "The customer wants it as it is",
    "This cloth does not allow it",
)


class DecisionForm(forms.Form):
    """Accept, amend or refuse. `seen_mm` is the amount that was on the screen."""

    identity = forms.UUIDField(widget=forms.HiddenInput)
    key = forms.CharField(widget=forms.HiddenInput, max_length=60)
    seen_mm = forms.FloatField(widget=forms.HiddenInput)
    verdict = forms.ChoiceField(choices=Verdict.choices, widget=forms.HiddenInput)

    def __init__(
        self, data: Any = None, *, side: str, proposal: dict[str, Any] | None, unit: str
    ) -> None:
        self.side, self.proposal, self.unit = side, proposal, unit
        key = proposal["key"] if proposal else "gone"
        fresh = {"identity": uuid.uuid4(), "verdict": self.VERDICT}
        if proposal:
            fresh |= {"key": proposal["key"], "seen_mm": proposal["shift_mm"]}
        self.slug = f"{side}-{key.replace(':', '-')}-{self.VERDICT}"
        super().__init__(data, auto_id=f"{self.slug}-%s", initial=fresh)
        speak_unit(self, unit)

    VERDICT: str = Verdict.ACCEPTED

    @property
    def amount_mm(self) -> float | None:
        """The amended amount, signed like the proposal's; None where none is given."""
        return None

    @property
    def reason(self) -> str:
        return ""

    def refuse(self, sentence: str) -> None:
        self.add_error(None, in_units(sentence, self.unit))


class AcceptForm(DecisionForm):
    VERDICT = Verdict.ACCEPTED


class _WithReason(DecisionForm):
    because = ListField(
        "forms/way.html",
        widget=forms.RadioSelect,
        required=False,
        label="Why",
        bound_field_class=DrawnOnce,
    )
    words = forms.CharField(max_length=300, required=False, label="Or in your own words")
    REASONS: tuple[str, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        because = self.fields["because"]
        if isinstance(because, forms.ChoiceField):
            because.choices = [(reason, reason) for reason in self.REASONS]

    @property
    def reason(self) -> str:
        said = (self.cleaned_data.get("because"), self.cleaned_data.get("words"))
        return ". ".join(part for part in said if part)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and not self.reason.strip():
            self.add_error("because", "Say why in a few words: the next fitter will want to know.")
        return cleaned


class AmendForm(_WithReason):
    VERDICT = Verdict.AMENDED
    REASONS = AMENDED_BECAUSE

    amount = AmountField(most_mm=300, label="Amount to be worked")
    way = WayField(("plus", ""), ("minus", ""), "Which way")
    field_order = ["amount", "way", "because", "words"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.proposal is None:
            return
        plus, minus, where = ways_of(self.proposal)
        way, amount = self.fields["way"], self.fields["amount"]
        amount.label = f"Amount to be worked, {where}"
        if isinstance(way, forms.ChoiceField):
            way.choices = [("plus", plus), ("minus", minus)] if minus else [("plus", plus)]
        if isinstance(amount, AmountField):
            shown = amount.prepare_value(Decimal(str(abs(self.proposal["shift_mm"]))))
            self.initial["amount"] = shown
            self.initial["way"] = "plus" if self.proposal["shift_mm"] > 0 else "minus"

    @property
    def amount_mm(self) -> float | None:
        entered = self.cleaned_data.get("amount")
        if entered is None:
            return None
        size = float(entered.mm)
        return -size if self.cleaned_data.get("way") == "minus" else size

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if self.cleaned_data.get("amount") and not self.cleaned_data.get("way"):
            self.add_error("way", "Say which way: tap one of the two.")
        return cleaned

    def refuse(self, sentence: str) -> None:
        self.add_error("amount", in_units(sentence, self.unit))


class RefuseForm(_WithReason):
    VERDICT = Verdict.REFUSED
    REASONS = REFUSED_BECAUSE


DECISION_FORMS: Final[dict[str, type[DecisionForm]]] = {
    Verdict.ACCEPTED: AcceptForm,
    Verdict.AMENDED: AmendForm,
    Verdict.REFUSED: RefuseForm,
}
