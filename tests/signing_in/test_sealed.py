"""Second factors lie sealed in the database, and open again by the keys the installation knows."""

import json
from importlib import import_module
from io import StringIO
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP
from cryptography.fernet import InvalidToken
from django.apps import apps
from django.core.management import call_command
from django.db import connection

from tailorshop.signing_in.sealed import opened, seal, sealed_anew
from tests.factories import UserFactory

# RFC 6238, appendix B: this key gives 94287082 at 59 s; six digits are its last six.
KEY, MOMENT, CODE = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ", 59, "287082"
pytestmark = pytest.mark.django_db


@pytest.fixture
def moment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("allauth.mfa.totp.internal.auth.time.time", lambda: MOMENT)


def kept(factor: Authenticator) -> str:
    with connection.cursor() as cursor:
        cursor.execute("SELECT data FROM mfa_authenticator WHERE id = %s", [factor.pk])
        return str(cursor.fetchone()[0])


def test_a_copy_of_the_database_makes_no_codes(moment: None) -> None:
    factor = TOTP.activate(UserFactory(), KEY)
    assert KEY not in kept(factor.instance)
    assert factor.validate_code(CODE), "it was right before it was sealed"


def test_recovery_codes_lie_sealed_and_are_still_good(settings: Any) -> None:
    codes = RecoveryCodes.activate(UserFactory())
    first = codes.get_unused_codes()[0]
    seed = json.loads(kept(codes.instance))["seed"]
    assert opened(seed) != seed
    assert codes.validate_code(first)


def test_what_an_older_key_sealed_opens_while_that_key_is_named(
    settings: Any, moment: None
) -> None:
    factor = TOTP.activate(UserFactory(), KEY)
    settings.SECRET_KEY_FALLBACKS, settings.SECRET_KEY = [settings.SECRET_KEY], "another key"
    assert factor.validate_code(CODE)
    call_command("reseal", stdout=StringIO())
    settings.SECRET_KEY_FALLBACKS = []
    factor.instance.refresh_from_db()
    assert opened(factor.instance.data["secret"]) == KEY


def test_where_the_key_is_lost_no_code_is_right_and_nothing_breaks(
    settings: Any, moment: None
) -> None:
    factor = TOTP.activate(UserFactory(), KEY)
    before = kept(factor.instance)
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "another key", []
    assert not factor.validate_code(CODE)
    said = StringIO()
    call_command("reseal", stdout=StringIO(), stderr=said)
    assert "left as they are" in said.getvalue()
    assert kept(factor.instance) == before, "what cannot be opened must not be thrown away"


def test_secrets_that_lay_open_are_sealed_by_the_upgrade(moment: None) -> None:
    user = UserFactory()
    totp = Authenticator.objects.create(user=user, type="totp", data={"secret": KEY})
    key = Authenticator.objects.create(user=user, type="webauthn", data={"name": "a key"})
    step = import_module("tailorshop.migrations.0005_second_factors_are_sealed")
    step.seal_them(apps, connection.schema_editor())
    for factor in (totp, key):
        factor.refresh_from_db()
    assert KEY not in kept(totp)
    assert TOTP(totp).validate_code(CODE)
    assert key.data == {"name": "a key"}


def test_sealing_tells_nothing_and_refuses_what_was_tampered_with() -> None:
    assert seal(KEY) != seal(KEY)
    with pytest.raises(InvalidToken):
        opened(seal(KEY)[:-4] + "AAA=")
    again = sealed_anew({"secret": seal(KEY), "name": "a telephone"})
    assert (opened(again["secret"]), again["name"]) == (KEY, "a telephone")
