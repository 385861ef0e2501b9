"""Accounts, as the owner makes and ends them."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fittings.refusals import Refused
from tailorshop.models import Role, User
from tailorshop.staff import StaffForm
from tests.factories import UserFactory
from tests.signing_in.people import said_who_they_are

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _said_once_more_who_they_are(owner: tuple[Client, Any]) -> None:
    said_who_they_are(owner)


NEW = {
    "username": "nadia",
    "first_name": "Nadia",
    "last_name": "Sample",
    "role": "workroom",
    "units": "in",
    "is_active": "on",
    "password": "needle-and-thimble",
    "version": "1",
}


def test_owner_makes_an_account_that_can_sign_in(owner: tuple[Client, Any]) -> None:
    assert owner[0].post(reverse("staff-new"), NEW).status_code == 302
    nadia = User.objects.get(username="nadia")
    assert (nadia.role, nadia.units) == ("workroom", "in")
    assert Client().login(username="nadia", password="needle-and-thimble")


@pytest.mark.parametrize("password", ["", "short", "password123"])
def test_a_weak_password_is_refused_and_nothing_else_is_lost(
    owner: tuple[Client, Any], password: str
) -> None:
    answer = owner[0].post(reverse("staff-new"), {**NEW, "password": password})
    assert answer.status_code == 422
    assert "Nadia" in answer.content.decode()
    assert not User.objects.filter(username="nadia").exists()


def test_ending_an_account_signs_it_out(owner: tuple[Client, Any], fitter: Any) -> None:
    client, user = fitter
    facts = {**NEW, "username": user.username, "role": "fitter", "password": ""}
    del facts["is_active"]
    owner[0].post(reverse("staff-edit", args=[user.pk]), facts)
    assert client.get(reverse("today")).status_code == 302


def test_the_last_owner_cannot_give_the_role_away(owner: tuple[Client, Any]) -> None:
    client, user = owner
    facts = {**NEW, "username": user.username, "role": "fitter", "password": ""}
    answer = client.post(reverse("staff-edit", args=[user.pk]), facts)
    assert "Somebody must stay owner" in answer.content.decode()
    UserFactory(role=Role.OWNER)
    assert client.post(reverse("staff-edit", args=[user.pk]), facts).status_code == 302


def test_the_first_account_of_a_shop_is_the_owners() -> None:
    first = User.objects.create_superuser("first", password="needle-and-thimble")
    assert first.role == Role.OWNER


def test_the_list_asks_the_same_number_of_queries_however_many_work_here(
    owner: tuple[Client, Any], django_assert_max_num_queries: Any
) -> None:
    UserFactory.create_batch(30)
    with django_assert_max_num_queries(4):
        owner[0].get(reverse("staff-list"))


def as_posted(user: User) -> dict[str, str]:
    return {**NEW, "username": user.username, "role": user.role, "password": ""}


def test_two_owners_who_change_one_account_are_shown_both_states(
    owner: tuple[Client, Any],
) -> None:
    user = UserFactory(role=Role.FITTER, first_name="Ada", units="cm")
    address = reverse("staff-edit", args=[user.pk])
    mine = as_posted(user) | {"first_name": "Adeline", "version": str(user.version)}
    theirs = as_posted(user) | {"units": "mm", "first_name": "Ada", "version": str(user.version)}
    assert owner[0].post(address, theirs).status_code == 302
    answer = owner[0].post(address, mine | {"password": "needle-and-thimble"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Adeline" in page
    assert "Millimetres" in page
    assert "needle-and-thimble" not in page
    user.refresh_from_db()
    assert (user.first_name, user.units, user.version) == ("Ada", "mm", 2)
    assert owner[0].post(address, mine | {"version": "2", "theirs": "units"}).status_code == 302
    user.refresh_from_db()
    assert (user.first_name, user.units) == ("Adeline", "mm")


def test_own_settings_do_not_bring_back_an_access_that_was_ended_meanwhile(fitter: Any) -> None:
    client, user = fitter
    form = {"units": "mm", "tapping_hand": "left", "version": str(user.version)}
    ended = User.objects.get(pk=user.pk)
    ended.role = Role.WORKROOM
    ended.save_over(ended.version)
    assert client.post(reverse("own-settings"), form).status_code == 409
    user.refresh_from_db()
    assert (user.role, user.units) == (Role.WORKROOM, "cm")


def test_two_owners_who_leave_each_other_alone_at_once_are_not_both_gone(
    owner: tuple[Client, Any],
) -> None:
    other = UserFactory(role=Role.OWNER)
    forms = [
        StaffForm({**NEW, "username": one.username, "password": ""}, instance=one, by=one)
        for one in User.objects.filter(pk__in=[owner[1].pk, other.pk])
    ]
    # Both were looked at before either is saved.
    assert all(form.is_valid() for form in forms)
    forms[0].save_seen()
    with pytest.raises(Refused, match="Somebody must stay owner"):
        forms[1].save_seen()
    assert User.objects.filter(role=Role.OWNER, is_active=True).count() == 1
