"""Signing in: the password, the second factor, and what is refused."""

import base64
import datetime as dt
from typing import Any

import pytest
import time_machine
from allauth.mfa.models import Authenticator
from django.test import Client
from django.urls import reverse

from tailorshop.models import Role, User
from tests.conftest import Signed
from tests.factories import UserFactory
from tests.signing_in.people import said_who_they_are

pytestmark = pytest.mark.django_db
PASSWORD = "chalk-and-thread"
# RFC 6238, appendix B: the key of the SHA-1 vectors, and moments with the last six of the eight
# digits given there (the truncation of RFC 4226, section 5.3, takes the number modulo a power of
# ten).
KEY = base64.b32encode(b"12345678901234567890").decode()
VECTORS = [(1111111109, "081804"), (1234567890, "005924"), (2000000000, "279037")]


def person(**facts: Any) -> User:
    user = UserFactory(**facts)
    user.set_password(PASSWORD)
    user.save()
    return user


def sign_in(client: Client, user: User, password: str = PASSWORD) -> Any:
    return client.post(reverse("sign-in"), {"login": user.username, "password": password})


def with_app(user: User) -> User:
    Authenticator.objects.create(user=user, type=Authenticator.Type.TOTP, data={"secret": KEY})
    return user


def is_in(client: Client) -> bool:
    return "_auth_user_id" in client.session


def test_name_and_password_open_the_page_of_the_day(client: Client) -> None:
    assert sign_in(client, person())["Location"] == reverse("today")
    assert is_in(client)


def test_the_keeper_is_led_to_the_accounts_having_no_page_of_the_day(client: Client) -> None:
    assert sign_in(client, person(role=Role.KEEPER))["Location"] == reverse("staff-list")


def test_a_wrong_password_answers_422_and_keeps_the_name(client: Client) -> None:
    user = person()
    answer = sign_in(client, user, "not-the-password")
    assert answer.status_code == 422
    assert f'value="{user.username}"' in answer.content.decode()
    assert not is_in(client)


def test_an_unknown_name_is_answered_like_a_wrong_password(client: Client) -> None:
    user = person()
    known = sign_in(client, user, "not-the-password").content.decode()
    unknown = client.post(reverse("sign-in"), {"login": "nobody-here", "password": "x"})
    assert "do not go together" in known
    assert "do not go together" in unknown.content.decode()


def test_five_wrong_passwords_close_the_name_even_for_the_right_one(client: Client) -> None:
    user = person()
    for _ in range(5):
        sign_in(client, user, "not-the-password")
    answer = sign_in(client, user)
    assert "Wait five minutes" in answer.content.decode()
    assert not is_in(client)
    # another name from the same network is not shut out with it
    assert sign_in(Client(), person()).status_code == 302


def test_wrong_tries_are_counted_by_the_name_whatever_host_is_asked_for(client: Client) -> None:
    user, at = person(username="ines"), reverse("sign-in")
    for port, name in enumerate(("ines", "INES", "ine\u017f", "ines", "\uff49nes"), start=8000):
        said = {"login": name, "password": "not-the-password"}
        client.post(at, said, headers={"host": f"testserver:{port}"})
    answer = sign_in(client, user)
    assert answer.status_code == 422
    assert "Too many wrong tries" in answer.content.decode()


def test_wrong_tries_are_counted_for_all_processes_together(settings: Any) -> None:
    assert settings.CACHES["default"]["BACKEND"].endswith("DatabaseCache")


def test_nobody_can_make_an_account_by_themselves(client: Client) -> None:
    assert client.get("/accounts/signup/").status_code == 404
    assert client.get("/signup/").status_code == 404


def test_somebody_no_longer_employed_cannot_sign_in(client: Client) -> None:
    user = person(is_active=False)
    sign_in(client, user)
    assert not is_in(client)


@pytest.mark.parametrize(("moment", "code"), VECTORS)
def test_the_apps_code_of_that_moment_signs_in(client: Client, moment: int, code: str) -> None:
    user = with_app(person(role=Role.OWNER))
    with time_machine.travel(dt.datetime.fromtimestamp(moment, dt.UTC), tick=False):
        assert sign_in(client, user)["Location"] == reverse("mfa_authenticate")
        assert not is_in(client)
        assert client.get(reverse("mfa_authenticate")).status_code == 200
        answer = client.post(reverse("mfa_authenticate"), {"code": code})
        assert answer.status_code == 302
        assert is_in(client)


def test_the_password_alone_opens_nothing_where_there_is_a_second_factor(client: Client) -> None:
    sign_in(client, with_app(person()))
    assert client.get(reverse("today")).status_code == 302
    assert client.post(reverse("mfa_authenticate"), {"code": "000000"}).status_code == 422
    assert not is_in(client)


def test_a_code_seen_over_the_shoulder_is_not_good_a_second_time() -> None:
    user = with_app(person())
    moment, code = VECTORS[0]
    with time_machine.travel(dt.datetime.fromtimestamp(moment, dt.UTC), tick=False):
        first, second = Client(), Client()
        for client in (first, second):
            sign_in(client, user)
            client.post(reverse("mfa_authenticate"), {"code": code})
        assert [is_in(first), is_in(second)] == [True, False]


def test_a_code_is_not_good_again_in_the_next_step_either() -> None:
    user = with_app(person())
    moment, code = VECTORS[0]
    at = dt.datetime.fromtimestamp(moment // 30 * 30, dt.UTC)
    with time_machine.travel(at, tick=False) as clock:
        entered = []
        for _ in range(2):
            client = Client()
            sign_in(client, user)
            client.post(reverse("mfa_authenticate"), {"code": code})
            entered.append(is_in(client))
            clock.shift(45)
    assert entered == [True, False]


def test_a_recovery_code_is_good_once(client: Client) -> None:
    user = person()
    client.force_login(user)
    said_who_they_are((client, user))
    with_app(user)
    client.post(reverse("mfa_generate_recovery_codes"))
    page = client.get(reverse("mfa_view_recovery_codes")).content.decode()
    code = page.split("<li><code>")[1].split("</code>")[0]
    for opens in (True, False):
        other = Client()
        sign_in(other, user)
        other.post(reverse("mfa_authenticate"), {"code": code})
        assert is_in(other) is opens


def test_a_role_that_must_have_a_second_factor_sees_nothing_before_it(
    owner: Signed, fitter: Signed, settings: Any
) -> None:
    settings.SECOND_FACTOR_FOR = ["owner", "keeper"]
    assert owner[0].get(reverse("customer-list"))["Location"] == reverse("mfa_index")
    assert owner[0].get(reverse("mfa_index")).status_code == 200
    assert fitter[0].get(reverse("customer-list")).status_code == 200
    with_app(owner[1])
    assert owner[0].get(reverse("customer-list")).status_code == 200


def test_setting_up_a_second_factor_asks_once_more_who_it_is(fitter: Signed) -> None:
    client, user = fitter
    user.set_password(PASSWORD)
    user.save()
    client.force_login(user)
    at = reverse("mfa_activate_totp")
    asks = client.get(at)["Location"]
    assert asks.startswith(reverse("account_reauthenticate"))
    assert client.post(asks, {"password": "not-the-password"}).status_code == 422
    assert client.post(asks, {"password": PASSWORD, "next": at})["Location"] == at
    assert client.get(at).status_code == 200


def test_the_last_owners_lost_telephone_is_taken_away_by_the_keeper(
    keeper: Signed, owner: Signed
) -> None:
    said_who_they_are(keeper)
    fitter = with_app(person())
    sent = {"is_active": "on", "lost_factor": "on", "version": "1"}
    assert keeper[0].post(reverse("staff-edit", args=[fitter.pk]), sent).status_code == 302
    assert not Authenticator.objects.filter(user=fitter).exists()
    # an owner's account is not the keeper's
    assert keeper[0].get(reverse("staff-edit", args=[owner[1].pk])).status_code == 404


def test_a_keeper_gives_nobody_a_password_or_a_role_that_sees_customers(keeper: Signed) -> None:
    said_who_they_are(keeper)
    fitter = person()
    sent = {"is_active": "on", "role": "owner", "password": "another-long-one", "version": "1"}
    assert keeper[0].post(reverse("staff-edit", args=[fitter.pk]), sent).status_code == 302
    fitter.refresh_from_db()
    assert fitter.role == Role.FITTER
    assert fitter.check_password(PASSWORD)
    new = {"username": "nadia", "role": "owner", "units": "cm", "is_active": "on"}
    answer = keeper[0].post(reverse("staff-new"), new | {"password": "another-long-one"})
    assert answer.status_code == 422
    assert not User.objects.filter(username="nadia").exists()


def test_accounts_are_changed_only_after_saying_once_more_who_one_is(owner: Signed) -> None:
    at = reverse("staff-edit", args=[owner[1].pk])
    for answer in (owner[0].get(at), owner[0].post(at, {"password": "kept-nowhere-at-all"})):
        assert answer["Location"].startswith(reverse("account_reauthenticate"))
    assert "kept-nowhere-at-all" not in str(dict(owner[0].session))


@pytest.mark.parametrize("password", ["short", "megaparol12345", "eleven-chrs"])
def test_a_new_password_has_twelve_characters_and_is_not_a_common_one(
    fitter: Signed, password: str
) -> None:
    user = fitter[1]
    user.set_password(PASSWORD)
    user.save()
    fitter[0].force_login(user)
    sent = {"oldpassword": PASSWORD, "password1": password, "password2": password}
    # the second is in the list of common passwords that Django ships
    assert fitter[0].post(reverse("account_change_password"), sent).status_code == 422


def test_a_password_of_128_characters_without_digits_is_taken_whole(fitter: Signed) -> None:
    user, long = fitter[1], "needle and thimble " * 7
    long = long[:127] + "x"
    user.set_password(PASSWORD)
    user.save()
    fitter[0].force_login(user)
    sent = {"oldpassword": PASSWORD, "password1": long, "password2": long}
    assert fitter[0].post(reverse("account_change_password"), sent).status_code == 302
    user.refresh_from_db()
    assert user.check_password(long)
    assert not user.check_password(long[:127])


def test_changing_the_password_signs_the_other_devices_out(fitter: Signed) -> None:
    user = fitter[1]
    user.set_password(PASSWORD)
    user.save()
    here, there = Client(), Client()
    sign_in(here, user)
    sign_in(there, user)
    new = "a-longer-thread-than-before"
    sent = {"oldpassword": PASSWORD, "password1": new, "password2": new}
    here.post(reverse("account_change_password"), sent)
    assert here.get(reverse("today")).status_code == 200
    assert there.get(reverse("today")).status_code == 302
