"""Seals the one secret that the owner types in: the mailbox password. Keyed from SECRET_KEY, so a database dump alone opens nothing."""

import base64

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from django.conf import settings
from django.utils.crypto import salted_hmac

SALT = "notifications.sealing"


class CannotUnseal(Exception):
    """It was sealed with another SECRET_KEY, or damaged."""


def seal(secret: str) -> str:
    return _box().encrypt(secret.encode()).decode() if secret else ""


def unseal(sealed: str) -> str:
    """Raises CannotUnseal."""
    if not sealed:
        return ""
    try:
        return _box().decrypt(sealed.encode()).decode()
    except InvalidToken as wrong:
        raise CannotUnseal from wrong


def _box() -> MultiFernet:
    return MultiFernet([_fernet(key) for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)])


def _fernet(key: str | bytes) -> Fernet:
    raw = salted_hmac(SALT, "mailbox", secret=key, algorithm="sha256").digest()
    return Fernet(base64.urlsafe_b64encode(raw))
