"""Forms over records that several people may have open at once."""

import datetime as dt
from typing import Any, Generic, NamedTuple, TypeVar

from django import forms

from fittings.diary.days import YEARS
from fittings.models import Kept

K = TypeVar("K", bound=Kept)


# Names the fields, one value each, in which what is saved shall stand.
THEIRS = "theirs"


class Beside(NamedTuple):
    """One field where what is saved differs from what was typed."""

    label: str
    saved: str
    typed: str
    name: str


class DateInput(forms.DateInput):
    """The browser's own day picker."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


def in_our_time(day: dt.date) -> None:
    if day.year not in YEARS:
        raise forms.ValidationError(f"This day is in the year {day.year}: is the year right?")


class KeptForm(forms.ModelForm[K], Generic[K]):
    """Carries the version that was seen; `save_seen` refuses to save over a later one."""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, forms.DateField):
                field.validators.append(in_our_time)
        if self.instance.pk:
            self.initial["version"] = self.instance.version
            self.fields["version"].required = True

    def full_clean(self) -> None:
        """Before anything is looked at: fields whose saved state was chosen over what was typed."""
        if self.is_bound and self.instance.pk and THEIRS in self.data:
            self._take_theirs(set(self.data.getlist(THEIRS)))  # type: ignore[attr-defined]
        super().full_clean()

    def _take_theirs(self, names: set[str]) -> None:
        fresh = self.fresh(self.instance.as_saved())
        data: Any = self.data
        posted = data.copy()
        for bound in fresh.visible_fields():
            if bound.html_name in names:
                posted.setlist(bound.html_name, _as_posted(bound.value()))
        self.data = posted

    def save_seen(self) -> K:
        """Save a new row, or an old one unless it moved on since it was seen: RecordChanged."""
        row: K = self.save(commit=False)
        if row.pk is None:
            row.save()
        else:
            row.save_over(self.cleaned_data["version"])
        return row

    def fresh(self, saved: K) -> "KeptForm[K]":
        """The same form over the row as it is saved now; forms that need more override it."""
        return type(self)(instance=saved)

    def compare(self) -> list[Beside]:
        """Where the saved row differs from what was typed; saving again then saves over it."""
        saved = self.instance.as_saved()
        write_over(self, self.add_prefix("version"), str(saved.version))
        fresh = self.fresh(saved)
        return [
            Beside(
                str(bound.label),
                _words(bound.field, fresh[bound.name].value()),
                _words(bound.field, bound.value()),
                bound.html_name,
            )
            for bound in self.visible_fields()
            if _text(fresh[bound.name].value()) != _text(bound.value())
        ]


def write_over(form: forms.BaseForm, name: str, value: str) -> None:
    """Put another text into what was posted to a form, under the full name of its input."""
    data: Any = form.data
    posted = data.copy()
    posted[name] = value
    form.data = posted


def _as_posted(value: Any) -> list[str]:
    """What a browser would have sent for an input that holds this value."""
    if isinstance(value, bool):
        return ["on"] if value else []
    if isinstance(value, list | tuple):
        return [str(one) for one in value]
    return ["" if value is None else str(value)]


def _text(value: Any) -> str:
    return "" if value is None else str(value).replace("\r\n", "\n")


def _words(field: forms.Field, value: Any) -> str:
    choices: Any = getattr(field, "choices", None)
    if choices is not None:
        for key, words in choices:
            if _text(key) == _text(value):
                return str(words)
    return _text(value) or "–"
