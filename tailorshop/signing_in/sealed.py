"""Secrets of second factors as the database keeps them: sealed by the key of the installation.

A copy of the database alone then makes no codes. The key comes from SECRET_KEY; what was sealed by
one of SECRET_KEY_FALLBACKS still opens.
"""

from __future__ import annotations

from base64 import urlsafe_b64encode
from typing import Any, Final

from cryptography.fernet import Fernet, MultiFernet
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

_PURPOSE: Final = b"second factors"
_MARK: Final = "sealed:"


def seal(secret: str) -> str:
    return _MARK + _keys().encrypt(secret.encode()).decode()


def opened(kept: str) -> str:
    """What was sealed, or what was kept openly by an earlier version.

    Refuses (InvalidToken) what none of the keys has sealed.
    """
    if not kept.startswith(_MARK):
        return kept
    return _keys().decrypt(kept.removeprefix(_MARK).encode()).decode()


def sealed_anew(data: dict[str, Any]) -> dict[str, Any]:
    """The data of a second factor with each secret sealed by the newest key.

    Refuses (InvalidToken) as `opened` does. A passkey holds nothing secret and stays as it is.
    """
    again: dict[str, Any] = {
        name: seal(opened(data[name])) for name in ("secret", "seed") if name in data
    }
    if "migrated_codes" in data:
        again["migrated_codes"] = [seal(opened(code)) for code in data["migrated_codes"]]
    return data | again


def _keys() -> MultiFernet:
    return MultiFernet(
        [_fernet(key) for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)]
    )


def _fernet(key: str) -> Fernet:
    derived = HKDF(algorithm=SHA256(), length=32, salt=None, info=_PURPOSE).derive(key.encode())
    return Fernet(urlsafe_b64encode(derived))
