"""Who works here: the owner makes accounts, sets roles and passwords, and ends access.

An account that has written in the record is not deleted: what it wrote keeps its name.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from tailorshop.models import Role, User


class StaffForm(forms.ModelForm[User]):
    password = forms.CharField(
        required=False,
        label="New password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="At least ten characters. Empty: the password stays.",
    )

    class Meta:
        model = User
        fields = ("username", "first_name", "last_name", "role", "units", "is_active")
        widgets = {"role": forms.RadioSelect}
        labels = {"is_active": "May sign in", "units": "Lengths are shown in"}
        help_texts = {"username": "What they sign in with.", "is_active": ""}

    def clean_username(self) -> str:
        name: str = self.cleaned_data["username"]
        if User.objects.filter(username__iexact=name).exclude(pk=self.instance.pk).exists():
            raise ValidationError("Somebody signs in by this name already: choose another.")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        password = cleaned.get("password", "")
        if not password and not self.instance.pk:
            self.add_error("password", "A new account needs a password.")
        if password:
            self._check(password)
        if self._leaves_nobody(cleaned):
            self.add_error("role", "Somebody must stay owner: make another owner first.")
        return cleaned

    def _check(self, password: str) -> None:
        try:
            validate_password(password, self.instance)
        except ValidationError as refused:
            self.add_error("password", refused)

    def _leaves_nobody(self, cleaned: dict[str, Any]) -> bool:
        """Whether nobody could open these pages any more."""
        stays = cleaned.get("role") == Role.OWNER and cleaned.get("is_active")
        others = User.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=self.instance.pk)
        return bool(self.instance.pk) and not stays and not others.exists()

    def save(self, commit: bool = True) -> User:
        user = super().save(commit=False)
        if self.cleaned_data["password"]:
            # Signs them out everywhere: a session stands on the password it began with.
            user.set_password(self.cleaned_data["password"])
        user.save()
        return user


def staff_list(request: HttpRequest) -> HttpResponse:
    staff = User.objects.order_by("-is_active", "first_name", "username")
    return render(request, "staff_list.html", {"staff": staff})


def staff_new(request: HttpRequest) -> HttpResponse:
    return _form_page(request, User(role=Role.FITTER))


def staff_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _form_page(request, get_object_or_404(User, pk=pk))


def _form_page(request: HttpRequest, row: User) -> HttpResponse:
    form = StaffForm(request.POST or None, instance=row)
    if request.method == "POST" and form.is_valid():
        messages.success(request, f"Saved: {form.save()}.")
        return redirect("staff-list")
    status = 422 if request.method == "POST" else 200
    return render(request, "staff_form.html", {"form": form, "row": row}, status=status)
