"""Who works here: the owner makes accounts, sets roles and passwords, and ends access.

An account that has written in the record is not deleted: what it wrote keeps its name. The keeper
of the installation ends access and takes a lost second factor away, but gives nobody a password or
a role that sees customers: with those the keeper would see them too.
"""

from __future__ import annotations

from typing import Any, Final

from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from fittings.forms.kept import Beside, KeptForm
from fittings.refusals import Refused
from fittings.views.reach import form_page
from tailorshop.models import Role, User
from tailorshop.roles import who_may
from tailorshop.signing_in.confirmed import confirmed

NO_OWNER: Final = "Somebody must stay owner: make another owner first."


class StaffForm(KeptForm[User]):
    password = forms.CharField(
        required=False,
        label="New password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="At least twelve characters. Empty: the password stays.",
    )
    lost_factor = forms.BooleanField(
        required=False,
        label="Take the second factor away (the telephone is lost)",
    )

    class Meta:
        model = User
        fields = ("username", "first_name", "last_name", "role", "units", "is_active")
        widgets = {"role": forms.RadioSelect}
        labels = {"is_active": "May sign in", "units": "Lengths are shown in"}
        help_texts = {"username": "What they sign in with.", "is_active": ""}

    def __init__(self, *args: Any, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by = by
        if not self.instance.pk:
            del self.fields["lost_factor"]
        if by.role != Role.KEEPER:
            return
        if self.instance.role == Role.KEEPER:
            self.fields["role"].choices = [(Role.KEEPER, Role.KEEPER.label)]  # type: ignore[attr-defined]
            return
        for name in set(self.fields) - {"is_active", "lost_factor", "version"}:
            del self.fields[name]

    def clean_username(self) -> str:
        name: str = self.cleaned_data["username"]
        if User.objects.filter(username__iexact=name).exclude(pk=self.instance.pk).exists():
            raise ValidationError("Somebody signs in by this name already: choose another.")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        password = cleaned.get("password", "")
        if "password" in self.fields and not password and not self.instance.pk:
            self.add_error("password", "A new account needs a password.")
        if password:
            self._check(password)
        if self._leaves_nobody(cleaned):
            self.add_error("role", NO_OWNER)
        return cleaned

    def _check(self, password: str) -> None:
        try:
            validate_password(password, self.instance)
        except ValidationError as refused:
            self.add_error("password", refused)

    def _leaves_nobody(self, cleaned: dict[str, Any]) -> bool:
        """Whether nobody could open these pages any more."""
        if self.instance.role != Role.OWNER:
            return False
        stays = cleaned.get("role") == Role.OWNER and cleaned.get("is_active")
        others = User.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=self.instance.pk)
        return bool(self.instance.pk) and not stays and not others.exists()

    def save(self, commit: bool = True) -> User:
        if self.cleaned_data.get("password"):
            # Signs them out everywhere: a session stands on the password it began with.
            self.instance.set_password(self.cleaned_data["password"])
        return super().save(commit=commit)

    @transaction.atomic
    def save_seen(self) -> User:
        # Two at once, each of whom leaves the other: the second sees what the first has done.
        owners = User.objects.select_for_update().filter(role=Role.OWNER).order_by("pk")
        was_there = bool(list(owners))
        user = super().save_seen()
        if was_there and not owners.filter(is_active=True).exists():
            raise Refused(NO_OWNER)
        if self.cleaned_data.get("lost_factor"):
            Authenticator.objects.filter(user=user).delete()
        if not user.is_active or {"role", "lost_factor", "password"} & set(self.changed_data):
            end_sessions(user)
        return user

    def compare(self) -> list[Beside]:
        """A password is not shown."""
        return [row for row in super().compare() if row.name != "password"]

    def fresh(self, saved: User) -> StaffForm:
        return StaffForm(instance=saved, by=self.by)


def end_sessions(user: User) -> None:
    """Sign somebody out on every device."""
    for session in UserSession.objects.filter(user=user):
        session.end()


def staff_list(request: HttpRequest) -> HttpResponse:
    staff = User.objects.order_by("-is_active", "first_name", "username")
    return render(request, "staff_list.html", {"staff": staff, "roles": Role, "table": who_may()})


@confirmed
def staff_new(request: HttpRequest) -> HttpResponse:
    role = Role.KEEPER if _by(request).role == Role.KEEPER else Role.FITTER
    return _form_page(request, User(role=role))


@confirmed
def staff_edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(User, pk=pk)
    if row.role == Role.OWNER and _by(request).role == Role.KEEPER:
        raise Http404("An owner's account is an owner's to change.")
    return _form_page(request, row)


def _by(request: HttpRequest) -> User:
    by: Any = request.user
    user: User = by
    return user


def _form_page(request: HttpRequest, row: User) -> HttpResponse:
    return form_page(
        request,
        StaffForm(request.POST or None, instance=row, by=_by(request)),
        "staff_form.html",
        said="Saved: {}.",
        then=lambda _: reverse("staff-list"),
        row=row,
    )
