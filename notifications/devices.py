"""The devices of a customer that take notices: taken up and let go. What a browser names is looked at before it is kept."""

import base64
import binascii
from collections.abc import Collection

from cryptography.hazmat.primitives.asymmetric import ec
from django.db import transaction
from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.models import Customer
from notifications.models import PushSubscription
from notifications.push_services import may_be_asked

MOST = 10  # for one customer; the oldest makes room, because a browser that is gone never says so
POINT, SECRET = 65, 16  # bytes (RFC 8291 sections 3.1 and 3.2)


def take_up(customer: Customer, endpoint: str, p256dh: str, auth: str) -> PushSubscription:
    """Send notices to this browser from now on. One that took them for somebody else now takes them for this customer.

    Raises Refused for an address that is no push service, and for keys that are none.
    """
    if not may_be_asked(endpoint):
        raise Refused(
            _("Your browser uses a service for notices that we do not know. Letters reach you all the same.")
        )
    if not (_is_point(p256dh) and len(_raw(auth)) == SECRET):
        raise Refused(_("Your browser did not give us what we need to send notices. Try again."))
    with transaction.atomic():
        kept, _made = PushSubscription.objects.update_or_create(
            endpoint=endpoint, defaults={"customer": customer, "p256dh": p256dh, "auth": auth}
        )
        others = customer.subscriptions.exclude(pk=kept.pk).order_by("-pk")
        customer.subscriptions.filter(pk__in=list(others.values_list("pk", flat=True)[MOST - 1 :])).delete()
    return kept


def let_go(customer: Customer, endpoint: str) -> None:
    """No more notices to this browser."""
    customer.subscriptions.filter(endpoint=endpoint).delete()


def let_all_go(customer: Customer, keep: Collection[int] = ()) -> None:
    """No more notices to any device of theirs, but those with these numbers."""
    customer.subscriptions.exclude(pk__in=keep).delete()


def forget(numbers: Collection[int]) -> None:
    """Subscriptions of a browser that is to be forgotten, whoever they were for."""
    PushSubscription.objects.filter(pk__in=numbers).delete()


def _is_point(key: str) -> bool:
    """Whether it is an uncompressed point of the curve P-256: another one would be a way to ask for our secrets."""
    raw = _raw(key)
    if len(raw) != POINT:
        return False
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), raw)
    except ValueError:
        return False
    return True


def _raw(text: str) -> bytes:
    """Base64url, padded or not (RFC 4648 section 5); b"" for what is none."""
    try:
        return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        return b""
