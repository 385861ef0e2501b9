"""How both arms hang at rest, on one form: directions are chosen in words, amounts are positive."""

from decimal import Decimal
from typing import Any, Final

from django import forms
from django.db import transaction
from django.utils import timezone

from fittings.fitting_room.hand import BEND_DEG, MOST_BEND_DEG, MOST_HANG_DEG, MOST_TURN_DEG, Pose
from fittings.forms.by_hand import Handle
from fittings.forms.fields import LengthField
from fittings.forms.kept import DateInput, in_our_time, write_over
from fittings.models import ArmCarriage, Customer
from fittings.refusals import RecordChanged

Ways = list[tuple[str, str]]

HANG: Final[Ways] = [("1", "forward of the hip"), ("-1", "behind the hip")]
TURN: Final[Ways] = [("1", "outward, away from the body"), ("-1", "inward, behind the back")]
SIDES: Final = ("left", "right")
CHANGED: Final = (
    "Somebody else saved how this customer's arms hang while you had the page open. "
    "What you typed is kept below; compare it with what is saved now."
)


class DegreesField(forms.DecimalField):
    """Degrees to one decimal, zero or more; the decimal sign may be a comma."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_value=90, decimal_places=1, required=False, **kwargs)

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class ArmForm(forms.Form):
    """One arm. `seen` says which saved observation was on the page."""

    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    hang_way = forms.ChoiceField(label="The hand hangs", choices=HANG, initial="1")
    hang_deg = DegreesField(label="by, in degrees from straight down")
    turn_way = forms.ChoiceField(label="The elbow points", choices=TURN, initial="1")
    turn_deg = DegreesField(label="by, in degrees from straight back")
    bend_deg = DegreesField(label="Elbow bent at rest, in degrees")
    length = LengthField(label="Length, shoulder point to wrist", required=False)

    def shown(self, name: str) -> float | None:
        """Degrees, signed, as the fields show them now; None where nothing sound stands there."""
        try:
            size = DegreesField().to_python(self[f"{name}_deg"].value())
        except forms.ValidationError:
            return None
        if size is None:
            return None
        minus = f"{name}_way" in self.fields and self[f"{name}_way"].value() == "-1"
        return -float(size) if minus else float(size)

    @property
    def pose(self) -> Pose:
        """From the side; how far the elbow is bent at rest is drawn as usual until it was seen."""
        bend = self.shown("bend")
        return Pose(
            side=str(self.prefix),
            arm_deg=self.shown("hang") or 0.0,
            bend_deg=BEND_DEG if bend is None else bend,
        )

    @property
    def pose_above(self) -> Pose:
        return Pose(side=str(self.prefix), arm_deg=self.shown("turn") or 0.0)

    @property
    def hang(self) -> Handle:
        return self._handle("hang", "The hand hangs", HANG, ("forward", "back"), MOST_HANG_DEG)

    @property
    def turn(self) -> Handle:
        return self._handle("turn", "The elbow points", TURN, ("outward", "inward"), MOST_TURN_DEG)

    @property
    def bend(self) -> Handle:
        """Taken by the elbow, which stands the further behind the more it is bent."""
        return Handle(
            name="elbow",
            label="The elbow, bent",
            amount_id=self["bend_deg"].id_for_label,
            degrees=self.shown("bend"),
            most=MOST_BEND_DEG,
            plus="bent",
            minus="",
            straight="straight",
            more="more",
            less="less",
            only_plus=True,
        )

    @property
    def side_handles(self) -> list[Handle]:
        return [self.hang]

    @property
    def above_handles(self) -> list[Handle]:
        return [self.turn]

    @property
    def hang_fields(self) -> list[forms.BoundField]:
        return [self["hang_way"], self["hang_deg"]]

    @property
    def turn_fields(self) -> list[forms.BoundField]:
        return [self["turn_way"], self["turn_deg"]]

    @property
    def bend_steps(self) -> list[tuple[str, str]]:
        return [("-5", "5° less"), ("-1", "1° less"), ("1", "1° more"), ("5", "5° more")]

    def _handle(
        self, name: str, label: str, ways: Ways, steps: tuple[str, str], most: int
    ) -> Handle:
        return Handle(
            name="arm",
            label=label,
            amount_id=self[f"{name}_deg"].id_for_label,
            degrees=self.shown(name),
            most=most,
            plus=ways[0][1],
            minus=ways[1][1],
            straight="straight down" if name == "hang" else "straight back",
            more=steps[0],
            less=steps[1],
            plus_first=self.prefix == "left",
        )

    def signed(self, name: str) -> Decimal | None:
        amount: Decimal | None = self.cleaned_data[f"{name}_deg"]
        return None if amount is None else amount * int(self.cleaned_data[f"{name}_way"])

    def write_to(self, arm: ArmCarriage) -> None:
        arm.forward_hang_deg = self.signed("hang")
        arm.inward_turn_deg = self.signed("turn")
        arm.elbow_bend_deg = self.cleaned_data["bend_deg"]
        length = self.cleaned_data["length"]
        if "length" in self.changed_data or length is None:
            arm.length_mm = length.mm if length else None
        else:
            arm.length_mm = self.initial["length"]

    def is_blank(self) -> bool:
        names = ("hang_deg", "turn_deg", "bend_deg", "length")
        return all(self.cleaned_data[name] is None for name in names)


def token(arm: ArmCarriage | None) -> str:
    return f"{arm.pk}.{arm.version}" if arm else ""


def _initial(arm: ArmCarriage | None) -> dict[str, Any]:
    if arm is None:
        return {}
    hang, turn = arm.forward_hang_deg, arm.inward_turn_deg
    return {
        "seen": token(arm),
        "hang_way": "-1" if hang is not None and hang < 0 else "1",
        "hang_deg": None if hang is None else abs(hang),
        "turn_way": "-1" if turn is not None and turn < 0 else "1",
        "turn_deg": None if turn is None else abs(turn),
        "bend_deg": arm.elbow_bend_deg,
        "length": arm.length_mm,
    }


class ArmsForm(forms.Form):
    """Both arms as seen on one day. The same day again corrects that day's observation."""

    observed_on = forms.DateField(
        label="Observed on",
        widget=DateInput(),
        initial=timezone.localdate,
        validators=[in_our_time],
    )

    def __init__(
        self,
        data: Any = None,
        *,
        customer: Customer,
        seen: dict[str, ArmCarriage | None],
        unit: str,
    ) -> None:
        super().__init__(data)
        self.customer = customer
        self.arms = {
            side: ArmForm(data, prefix=side, initial=_initial(seen[side])) for side in SIDES
        }
        for arm in self.arms.values():
            length = arm.fields["length"]
            if isinstance(length, LengthField):
                length.unit = unit

    def is_valid(self) -> bool:
        return all([super().is_valid(), *(arm.is_valid() for arm in self.arms.values())])

    @transaction.atomic
    def save(self, by: int) -> None:
        for side, form in self.arms.items():
            self._save_arm(side, form, by)

    def _save_arm(self, side: str, form: ArmForm, by: int) -> None:
        day = self.cleaned_data["observed_on"]
        saved = self.customer.arm_carriages.filter(side=side)
        if form.cleaned_data["seen"] != token(saved.first()):
            raise RecordChanged(CHANGED)
        arm = saved.filter(observed_on=day).first()
        if arm is None and form.is_blank():
            return
        if arm is None:
            arm = ArmCarriage(customer=self.customer, side=side, observed_on=day, observed_by_id=by)
            form.write_to(arm)
            arm.save()
        else:
            form.write_to(arm)
            arm.save_over(arm.version)

    def look_again(self) -> None:
        """Take what is saved now as seen, so that saving once more saves over it."""
        for side, form in self.arms.items():
            newest = self.customer.arm_carriages.filter(side=side).first()
            write_over(form, form.add_prefix("seen"), token(newest))
