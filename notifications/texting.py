"""Setting up the gateway of text messages: kept, let go, tried."""

from urllib.parse import urlsplit

from django.utils.translation import gettext as _

from jobs.models import Workshop
from notifications import gateway
from notifications.gateway import Gateway, Taken
from notifications.gsm import writable
from notifications.models import TextGateway
from notifications.sealing import CannotUnseal, seal, unseal


def keep(*, secret: str | None = None, **fields: object) -> TextGateway:
    """Write down the gateway (fields of TextGateway). `secret` None keeps the one there is."""
    row = TextGateway.objects.current() or TextGateway()
    for name, value in fields.items():
        setattr(row, name, value)
    if secret is not None:
        row.sealed_secret = seal(secret)
    row.save()
    return row


def forget() -> None:
    """No more text messages."""
    TextGateway.objects.all().delete()


def kept_secret(url: str) -> str:
    """The secret that is kept, for the machine that it is kept for: another one must not get it. "" where there is none."""
    row = TextGateway.objects.current()
    if row is None or _machine(row.url) != _machine(url):
        return ""
    try:
        return unseal(row.sealed_secret)
    except CannotUnseal:
        return ""


def send_test(door: Gateway, to: str, key: str) -> Taken:
    """Send a short text to `to` (E.164). Raises Undelivered with what the gateway said."""
    house = Workshop.objects.current()
    words = _("%(house)s. This is a test of text messages. It works.") % {
        "house": house.name if house else ""
    }
    return gateway.hand_over(door, to, writable(words), key, lambda: None)


def _machine(url: str) -> tuple[str, str]:
    parts = urlsplit(url)
    return parts.scheme, parts.netloc.lower()
