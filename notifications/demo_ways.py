"""The demo's own gateway and device: both lead into the letterbox on this machine, where everybody can read what came.

The texts and notices are as real as the letters: they go over HTTP, and a notice is encrypted for keys that lie beside the letterbox.
"""

import base64
import json
import os
from pathlib import Path

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.conf import settings
from django.urls import reverse

from jobs import telephones
from jobs.actions.contact import want_texts
from jobs.models import Customer
from notifications import vapid
from notifications.models import PushSubscription, TextGateway
from notifications.sealing import seal

BODY = '{"to": "{to}", "text": "{text}", "from": "{sender}"}'
WANT_TEXTS = ("Orla Fennimore", "Ivo Harkaway", "Thaddeus Orme")
WANT_NOTICES = ("Ivo Harkaway", "Thaddeus Orme")


def give() -> None:
    """While the story is told: the house has a gateway, and those who want texts and notices say so on their first day."""
    if not TextGateway.objects.exists():
        _lay()
    for person in Customer.objects.filter(name__in=WANT_TEXTS, wants_texts=False):
        want_texts(person, telephones.for_texts(person.telephone, "GB"), True)
    if not vapid.is_on():
        return
    for person in Customer.objects.filter(name__in=WANT_NOTICES, subscriptions=None):
        device = Device.ours()
        PushSubscription.objects.create(
            customer=person,
            endpoint=f"{_here('letterbox_take_notice')}?for={person.pk}",
            p256dh=device.public,
            auth=device.auth,
        )


def stand_here() -> None:
    """At each start: the port of this machine may be another one than the last time."""
    TextGateway.objects.filter(url__endswith=reverse("letterbox_take_text")).update(
        url=_here("letterbox_take_text")
    )
    for device in PushSubscription.objects.filter(endpoint__contains=reverse("letterbox_take_notice")):
        device.endpoint = f"{_here('letterbox_take_notice')}?for={device.customer_id}"
        device.save(update_fields=["endpoint"])


class Device:
    """A browser that lies in the letterbox: it can read what was encrypted for it (RFC 8291)."""

    def __init__(self, private: str, auth: str) -> None:
        self.auth = auth
        self._private = ec.derive_private_key(int.from_bytes(_raw(private), "big"), ec.SECP256R1())

    @classmethod
    def ours(cls) -> "Device":
        """The one of this letterbox, made when it is first asked for."""
        path = Path(settings.LETTERBOX_DIR) / "device.json"
        if not path.is_file():
            number = ec.generate_private_key(ec.SECP256R1()).private_numbers().private_value
            kept = {"private": _text(number.to_bytes(32, "big")), "auth": _text(os.urandom(16))}
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(kept))
        return cls(**json.loads(path.read_text()))

    @property
    def public(self) -> str:
        point = self._private.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        return _text(point)

    def read(self, body: bytes) -> str:
        """The words of a pushed message. Raises ValueError for what was not encrypted for us."""
        try:
            words: bytes = http_ece.decrypt(
                body, private_key=self._private, auth_secret=_raw(self.auth), version="aes128gcm"
            )
            return words.decode()
        except Exception as wrong:  # whatever the library makes of nonsense
            raise ValueError("not for this device") from wrong


def _lay() -> None:
    TextGateway.objects.create(
        url=_here("letterbox_take_text"),
        body=BODY,
        header="Authorization: Bearer {secret}",
        sealed_secret=seal("demo"),
        sender="Tidewater",
    )


def _here(name: str) -> str:
    return f"http://127.0.0.1:{settings.PORT}{reverse(name)}"


def _text(raw: bytes) -> str:
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def _raw(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
