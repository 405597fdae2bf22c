"""Notices on a customer's devices: Web Push (RFC 8030), encrypted so that only their browser reads it (RFC 8291), signed (RFC 8292).

Never the only way: a device that sleeps for a day, or a browser without the page's permission, shows nothing.
"""

import base64
import hashlib
import json
from collections.abc import Callable

import requests
from django.urls import reverse
from django.utils.translation import gettext as _
from http_ece import ECEException
from pywebpush import WebPushException, webpush

from jobs.models import Workshop
from notifications import vapid
from notifications.channels.base import Channel, Trouble, Undelivered
from notifications.channels.by_day import wait_for_day
from notifications.models import Letter, PushSubscription
from notifications.outward import Line, line_failed, wait_of
from notifications.push_services import may_be_asked

LASTS = 24 * 3600  # seconds that the service keeps it for a device that sleeps (RFC 8030 section 5.2)
GONE = (404, 410)  # section 7.3: the subscription is no more
ABOUT_US = (401, 403)  # our signature is not taken
TOO_LARGE = 413
# Which of several failures tells most about whether to try again.
ORDER = [Trouble.AMBIGUOUS, Trouble.THROTTLED, Trouble.TEMPORARY, Trouble.PERMANENT]


class Push(Channel):
    """One letter to every device of theirs. It is sent when one of them took it; the others are extra."""

    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        if not vapid.is_on() or letter.person is None:
            raise Undelivered(_("Notices are not set up here."), Trouble.PERMANENT)
        wait_for_day(letter)
        words, topic = payload(letter), topic_of(letter)
        failures: list[Undelivered] = []
        devices = list(PushSubscription.objects.filter(customer=letter.person))
        for device in devices:
            try:
                _push(device, words, topic, letter.urgent, before_handing)
            except Undelivered as failed:
                failures.append(failed)
        if len(failures) < len(devices):
            return
        if not failures:
            raise Undelivered(_("None of their devices takes notices any more."), Trouble.PERMANENT)
        raise min(failures, key=lambda failed: ORDER.index(failed.kind))


def payload(letter: Letter) -> str:
    """What is shown, as JSON: the house, a sentence without anybody's data, and where a press leads (a path, without a key)."""
    house = Workshop.objects.current()
    told = {
        "title": house.name if house else "",
        "body": letter.text,
        "path": reverse("my", args=[letter.job.shown_ref]),
        "tag": topic_of(letter),
        "lang": letter.language,
    }
    return json.dumps(told)


def topic_of(letter: Letter) -> str:
    """One for each job (RFC 8030 section 5.4, up to 32 signs of base64url): the service keeps the newest notice alone. Names nothing."""
    digest = hashlib.sha256(
        f"benchletter {letter.job_id} {letter.job.created_at.isoformat()}".encode()
    ).digest()
    return base64.urlsafe_b64encode(digest)[:32].decode()


def _push(
    device: PushSubscription, words: str, topic: str, urgent: bool, leaving: Callable[[], None]
) -> None:
    """Hand one notice to the device's push service. Raises Undelivered; forgets a subscription that is no more."""
    if not may_be_asked(device.endpoint):
        device.delete()
        raise Undelivered(_("That is no push service that we know."), Trouble.PERMANENT)
    with Line(leaving) as line:
        try:
            webpush(
                {"endpoint": device.endpoint, "keys": {"p256dh": device.p256dh, "auth": device.auth}},
                words,
                vapid_private_key=vapid.signer(),
                vapid_claims=vapid.claims(device.endpoint),
                ttl=LASTS,
                headers={"urgency": "high" if urgent else "normal", "topic": topic},
                requests_session=line,
                timeout=10,
            )
        except WebPushException as refused:
            _refused(device, refused)
        except (requests.RequestException, OSError) as problem:
            raise line_failed(problem, line.has_left) from problem
        except (ValueError, ECEException) as wrong:  # keys that are no keys
            device.delete()
            raise Undelivered(_("That subscription cannot be used."), Trouble.PERMANENT) from wrong


def _refused(device: PushSubscription, refused: WebPushException) -> None:
    """What the service's answer means. Always raises."""
    answer = refused.response
    if answer is None:  # the library did not get as far as asking
        device.delete()
        raise Undelivered(_("That subscription cannot be used."), Trouble.PERMANENT) from refused
    said = f"{answer.status_code} {answer.reason}"[:200]
    if answer.status_code in GONE:
        device.delete()
        raise Undelivered(said, Trouble.PERMANENT) from refused
    if answer.status_code == 429:
        raise Undelivered(said, Trouble.THROTTLED, wait=wait_of(answer.headers)) from refused
    if answer.status_code == TOO_LARGE or (
        400 <= answer.status_code < 500 and answer.status_code not in ABOUT_US
    ):
        raise Undelivered(said, Trouble.PERMANENT) from refused
    raise Undelivered(said, wait=wait_of(answer.headers)) from refused
