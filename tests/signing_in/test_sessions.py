"""Where one is signed in, how long that stands, and how it is ended."""

import datetime as dt

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from tailorshop.models import Role
from tests.conftest import Signed
from tests.factories import FittingFactory
from tests.signing_in.people import said_who_they_are
from tests.signing_in.test_sign_in import person, sign_in

pytestmark = pytest.mark.django_db
TODAY = "today"


def test_a_session_is_listed_and_ended_from_another(db: None) -> None:
    user = person()
    tablet, desk = Client(HTTP_USER_AGENT="Mozilla/5.0 (iPad) Safari/604.1"), Client()
    sign_in(tablet, user)
    sign_in(desk, user)
    page = desk.get(reverse("usersessions_list")).content.decode()
    assert "Safari on iPad" in page
    number = page.split('name="end" value="')[1].split('"')[0]
    desk.post(reverse("usersessions_list"), {"end": number})
    assert tablet.get(reverse(TODAY)).status_code == 302
    assert desk.get(reverse(TODAY)).status_code == 200


def test_anothers_session_cannot_be_ended_by_its_number(fitter: Signed) -> None:
    user, client = person(), Client()
    sign_in(client, user)
    number = user.usersession_set.get().pk
    assert fitter[0].post(reverse("usersessions_list"), {"end": number}).status_code == 404
    assert client.get(reverse(TODAY)).status_code == 200


def test_all_but_this_one_are_ended_at_once(db: None) -> None:
    user, clients = person(), [Client() for _ in range(3)]
    for client in clients:
        sign_in(client, user)
    clients[0].post(reverse("usersessions_list"))
    assert [one.get(reverse(TODAY)).status_code for one in clients] == [200, 302, 302]


@pytest.mark.parametrize(
    ("role", "minutes", "stands"),
    [
        (Role.FITTER, 11 * 60, True),
        (Role.FITTER, 12 * 60 + 2, False),
        (Role.WORKROOM, 11 * 60, True),
        (Role.OWNER, 28, True),
        (Role.OWNER, 32, False),
        (Role.KEEPER, 32, False),
    ],
)
def test_a_session_stands_unused_as_long_as_its_role_may(
    role: Role, minutes: int, stands: bool
) -> None:
    user, client = person(role=role), Client()
    sign_in(client, user)
    at = reverse("own-settings")
    with time_machine.travel(timezone.now() + dt.timedelta(minutes=minutes)):
        assert (client.get(at).status_code == 200) is stands


def test_an_owners_session_ends_after_a_day_though_it_was_used(db: None) -> None:
    client, began = Client(), timezone.now()
    with time_machine.travel(began) as clock:
        sign_in(client, person(role=Role.OWNER))
        for _ in range(57):
            clock.shift(25 * 60)
            assert client.get(reverse(TODAY)).status_code == 200
        clock.shift(25 * 60)
        assert client.get(reverse(TODAY)).status_code == 302


def test_a_page_that_asks_by_itself_does_not_keep_an_owner_signed_in(db: None) -> None:
    client, fitting = Client(), FittingFactory()
    at = reverse("fitting-changes", args=[fitting.pk])
    with time_machine.travel(timezone.now()) as clock:
        sign_in(client, person(role=Role.OWNER))
        for _ in range(3):
            clock.shift(12 * 60)
            last = client.get(at)
    assert last.status_code == 302


def test_ending_somebodys_access_ends_their_sessions(owner: Signed) -> None:
    user, client = person(), Client()
    sign_in(client, user)
    said_who_they_are(owner)
    facts = {"username": user.username, "role": "fitter", "units": "cm", "version": "1"}
    owner[0].post(reverse("staff-edit", args=[user.pk]), facts)
    assert client.get(reverse(TODAY)).status_code == 302
    assert not user.usersession_set.exists()


def test_another_role_begins_with_a_new_sign_in(owner: Signed) -> None:
    user, client = person(), Client()
    sign_in(client, user)
    said_who_they_are(owner)
    facts = {"username": user.username, "role": "workroom", "units": "cm", "version": "1"}
    facts["is_active"] = "on"
    owner[0].post(reverse("staff-edit", args=[user.pk]), facts)
    assert client.get(reverse(TODAY)).status_code == 302
