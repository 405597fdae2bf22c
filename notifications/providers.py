"""What a mail provider tells us by webhook, in the common words of django-anymail: what became of a letter, and replies.

Providers repeat themselves and keep no order, so what is told is a row with a unique name, and each piece of news leads to the same end
in whatever order it comes. Who opened a letter or followed a link is not kept, even where a provider tells it.
"""

import hashlib
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from uuid import UUID

from anymail.signals import AnymailInboundEvent, AnymailTrackingEvent, EventType, RejectReason
from django.db import transaction

from jobs.actions.contact import want_progress
from notifications import returned
from notifications.lost import BOUNCED, REFUSED
from notifications.models import Letter, Told
from notifications.replies import keeping
from notifications.replies.head import one_line
from notifications.timely import event_is_timely

log = logging.getLogger(__name__)

LOST = {EventType.BOUNCED: BOUNCED, EventType.REJECTED: REFUSED, EventType.FAILED: REFUSED}
HEARD = {*LOST, EventType.DELIVERED, EventType.DEFERRED, EventType.COMPLAINED, EventType.UNSUBSCRIBED}
# Reasons that are the address's own fault; others (a full disk, a policy, a content that was not liked) are not.
DEAD = {RejectReason.INVALID, RejectReason.BOUNCED}


class NotTaken(Exception):
    """Our own fault, not the provider's: it has to tell it again."""


def take_news(sender: Any, event: AnymailTrackingEvent, esp_name: str, **_: Any) -> None:
    """The one receiver of `anymail.signals.tracking`. Raises NotTaken."""
    if event.event_type in HEARD and _is_timely(event, esp_name):
        with _our_own_faults():
            _note(event, esp_name)


def take_reply(sender: Any, event: AnymailInboundEvent, esp_name: str, **_: Any) -> None:
    """The one receiver of `anymail.signals.inbound`. Raises NotTaken."""
    if event.message is not None and _is_timely(event, esp_name):
        with _our_own_faults():
            keeping.keep(as_received(event.message), "provider")


def _is_timely(event: AnymailTrackingEvent | AnymailInboundEvent, esp_name: str) -> bool:
    timely = event_is_timely(event, esp_name)
    if not timely:
        log.warning(
            "news of %s (%s) was set aside: it was dated %s", esp_name, event.event_type, event.timestamp
        )
    return timely


@contextmanager
def _our_own_faults() -> Iterator[None]:
    try:
        yield
    except Exception as error:
        raise NotTaken from error


def as_received(message: Any) -> bytes:
    """The message as it would lie in a mailbox: on top what its envelope said, as a delivering server notes it (RFC 5321 section 4.4)."""
    noted = []
    if message.envelope_sender is not None and not message["Return-Path"]:
        noted.append(f"Return-Path: <{_one_token(message.envelope_sender)}>")
    if message.envelope_recipient:
        noted.append(f"Delivered-To: {_one_token(message.envelope_recipient)}")
    return "".join(f"{line}\r\n" for line in noted).encode() + bytes(message)


def event_id(event: AnymailTrackingEvent, esp_name: str) -> str:
    """What names this piece of news: the provider's own name for it where it has one, else all that tells it from others.

    The kind is in it: some providers use one number for all news about a message.
    """
    own = event.event_id or f"{event.message_id} {event.recipient} {event.timestamp}"
    named = f"{esp_name} {event.event_type} {own}"
    digest = hashlib.sha256(named.encode(errors="replace")).hexdigest()
    return f"{esp_name[:40]}-{event.event_type}-{digest}"[:200]


def _note(event: AnymailTrackingEvent, esp_name: str) -> None:
    """The row and what follows from it are one transaction: news that could not be dealt with is told again by the provider."""
    letter = _letter_of(event)
    if letter is None:
        log.info("%s told us something (%s) about a letter that is not ours", esp_name, event.event_type)
        return
    said = one_line(str(event.mta_response or event.description or event.reject_reason or ""))[:400]
    with transaction.atomic():
        told, is_new = Told.objects.get_or_create(
            event_id=event_id(event, esp_name),
            defaults={"kind": str(event.event_type)[:20], "letter": letter, "said": said},
        )
        if is_new:
            _act(event, letter, told.said)


def _act(event: AnymailTrackingEvent, letter: Letter, said: str) -> None:
    kind = event.event_type
    if kind == EventType.DELIVERED:
        returned.arrived(letter)
    elif kind in LOST:
        dead = True if event.reject_reason in DEAD else None
        returned.came_back(letter, LOST[kind], said, dead=dead)
    elif kind == EventType.COMPLAINED:
        returned.complained(letter, said)
    elif kind == EventType.UNSUBSCRIBED and letter.person:
        want_progress(letter.person, False)


def _letter_of(event: AnymailTrackingEvent) -> Letter | None:
    """By the name that we sent along; else by what the provider called it when it took it. News of another recipient is none of it."""
    letters = Letter.objects.select_related("job__customer", "person")
    letter = letters.filter(uid=uid).first() if (uid := _uid(event)) else None
    if letter is None and event.message_id:
        letter = letters.filter(provider_id=one_line(str(event.message_id))).first()
    if letter and event.recipient and event.recipient.lower() != letter.to_address.lower():
        return None  # it was sent to an address that has been corrected meanwhile
    return letter


def _uid(event: AnymailTrackingEvent) -> UUID | None:
    try:
        return UUID(hex=str((event.metadata or {})["letter"]))
    except (KeyError, ValueError, TypeError):
        return None


def _one_token(address: str) -> str:
    return "".join(str(address).split())[:320]
