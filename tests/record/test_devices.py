"""What a device keeps goes up under the right name, and leaves the device at sign-out."""

from typing import Any

from django.urls import reverse

from fittings.models import Entry
from tailorshop.models import Role
from tests.conftest import Signed
from tests.factories import FittingFactory, UserFactory


def test_entry_of_another_is_not_kept_under_the_name_of_who_signed_in_since(
    fitter: Signed,
) -> None:
    client, user = fitter
    address = reverse("fitting-entry", args=[FittingFactory().pk])
    sent = {"check": "balance", "state": "settled"}
    other = UserFactory(role=Role.FITTER)
    answer = client.post(address, sent, headers={"Made-By": str(other.pk)})
    assert answer.status_code == 412
    assert not Entry.objects.exists()
    assert client.post(address, sent, headers={"Made-By": str(user.pk)}).status_code == 302
    assert Entry.objects.get().made_by == user


def test_entry_of_a_session_that_ran_out_is_sent_to_sign_in(client: Any, fitter: Signed) -> None:
    address = reverse("fitting-entry", args=[FittingFactory().pk])
    answer = type(client)().post(
        address, {"check": "balance"}, headers={"Made-By": str(fitter[1].pk)}
    )
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("sign-in"))


def test_signing_out_empties_the_device_where_the_browser_is_allowed_to(fitter: Signed) -> None:
    address = reverse("sign-out")
    assert not fitter[0].post(address, {"keep": ""}).has_header("Clear-Site-Data")
    fitter[0].force_login(fitter[1])
    answer = fitter[0].post(address, {"keep": ""}, secure=True)
    assert answer["Clear-Site-Data"] == '"storage"'


def test_signing_out_leaves_what_another_has_yet_to_send(fitter: Signed) -> None:
    answer = fitter[0].post(reverse("sign-out"), {"keep": "others"}, secure=True)
    assert not answer.has_header("Clear-Site-Data")
