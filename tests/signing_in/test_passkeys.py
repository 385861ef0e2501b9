"""What is sent in the place of a passkey and is none: refused, kept nowhere, and nothing breaks."""

import base64
import json
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import TOTP
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from tests.conftest import Signed
from tests.signing_in.people import said_who_they_are
from tests.signing_in.test_sign_in import is_in, person, sign_in

pytestmark = pytest.mark.django_db


def web(data: bytes) -> str:
    """Base64 for addresses, without its padding (RFC 4648, section 5), as WebAuthn writes bytes."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def credential(**response: Any) -> dict[str, Any]:
    return {"id": web(b"key"), "rawId": web(b"key"), "type": "public-key", "response": response}


CLIENT = web(json.dumps({"type": "webauthn.get", "challenge": "", "origin": "https://a"}).encode())
# A user handle of nobody; authenticator data need 37 bytes (WebAuthn level 3, section 6.1).
NONE = {"clientDataJSON": CLIENT, "signature": "", "userHandle": web(b"9" * 30)}
# CBOR (RFC 8949): an empty map, an integer, a map that breaks off, an array in an array in an ...
OBJECTS = [b"", b"\xa0", b"\x01", b"\xa1", b"\x81" * 3000]
NO_PASSKEYS: list[Any] = [
    *(0, False, 1, "x", [1], {"id": "a"}, {"id": "a", "rawId": "b"}, {"rawId": 1, "response": 1}),
    credential(),
    credential(clientDataJSON="!", attestationObject="!", authenticatorData="!", signature="!"),
    *(credential(clientDataJSON=CLIENT, attestationObject=web(data)) for data in OBJECTS),
    *(credential(**NONE, authenticatorData=web(b"\xff" * size)) for size in (0, 36, 37, 60)),
    credential(**NONE | {"clientDataJSON": web(b"[]")}, authenticatorData=web(b"\1" * 37)),
    credential(**NONE | {"userHandle": 1}, authenticatorData=web(b"\1" * 37)),
]


def test_no_passkey_is_added_and_the_page_opens_after_it(owner: Signed) -> None:
    said_who_they_are(owner)
    address = reverse("mfa_add_webauthn")
    for sent in NO_PASSKEYS:
        assert owner[0].get(address).status_code == 200  # makes the challenge
        answer = owner[0].post(address, {"name": "key", "credential": json.dumps(sent)})
        assert answer.status_code == 422, sent
    assert not Authenticator.objects.exists()


def test_nobody_signs_in_with_it_alone(client: Client) -> None:
    address = reverse("mfa_login_webauthn")
    for sent in NO_PASSKEYS:
        client.get(address, headers={"X-Requested-With": "XMLHttpRequest"})
        answer = client.post(address, {"credential": json.dumps(sent)})
        assert answer.status_code in {302, 429}, sent
        cache.clear()  # wrong tries are counted
    assert not is_in(client)


def test_it_is_no_second_factor_either(client: Client) -> None:
    user, address = person(), reverse("mfa_authenticate")
    TOTP.activate(user, "GEZDGNBVGY3TQOJQ")
    sign_in(client, user)
    for sent in NO_PASSKEYS:
        client.get(address)
        answer = client.post(address, {"credential": json.dumps(sent)})
        assert answer.status_code == 422, sent
        cache.clear()
    assert not is_in(client)
