"""Who we are to a push service: Voluntary Application Server Identification (RFC 8292)."""

import base64
import time
from functools import lru_cache
from urllib.parse import urlsplit

from cryptography.hazmat.primitives import serialization
from django.conf import settings
from py_vapid import Vapid02

from jobs.models import Workshop

LASTS = 12 * 3600  # seconds; section 2 allows 24 hours


def is_on() -> bool:
    """Whether this house can send notices at all."""
    return bool(settings.VAPID_KEY)


def signer() -> Vapid02:
    """The key pair. Raises ValueError for a VAPID_KEY that is none: 32 bytes in base64url, or PKCS 8 in base64."""
    return _signer(settings.VAPID_KEY)


def problem() -> str:
    """What is wrong with the key of the environment, in a word; "" for none, or where there is none."""
    try:
        return "" if not is_on() or signer().private_key.curve.name == "secp256r1" else "another curve"
    except Exception as wrong:  # whatever the library makes of it
        return type(wrong).__name__


def public_key() -> str:
    """The public key as a page gives it to the browser: the uncompressed point in base64url; "" without a key."""
    if not is_on():
        return ""
    point = signer().public_key.public_bytes(
        serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint
    )
    return base64.urlsafe_b64encode(point).rstrip(b"=").decode()


def claims(endpoint: str) -> dict[str, str | int]:
    """What the signature says (section 2): whom it is for, until when, and whom to write to when something is wrong."""
    to = urlsplit(endpoint)
    return {
        "aud": f"{to.scheme}://{to.netloc}",
        "exp": int(time.time()) + LASTS,
        "sub": f"mailto:{_reached_at()}",
    }


def _reached_at() -> str:
    house = Workshop.objects.current()
    return (house.email if house else "") or settings.DEFAULT_FROM_EMAIL


@lru_cache(maxsize=2)
def _signer(key: str) -> Vapid02:
    return Vapid02.from_string(key)
