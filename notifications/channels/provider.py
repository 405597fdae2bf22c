"""E-mail through a provider, by any backend of django-anymail (settings.MAIL_PROVIDER).

What goes out is the message that would go by SMTP, with its identifiers, threads and list headers; only its date is the provider's. It
tracks nothing: no pixel and no rewritten link. A provider that was reached and did not answer may have the letter, like a mail server
after DATA.
"""

import re
from collections.abc import Callable
from email import message_from_bytes
from email.message import EmailMessage
from email.mime.image import MIMEImage
from email.policy import default
from functools import cached_property
from typing import Any

import requests
import urllib3
from anymail.exceptions import (
    AnymailAPIError,
    AnymailCancelSend,
    AnymailConfigurationError,
    AnymailError,
    AnymailInvalidAddress,
    AnymailRecipientsRefused,
    AnymailUnsupportedFeature,
)
from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection

from jobs.actions.linking import new_key
from notifications import message
from notifications.channels.base import Channel, Trouble, Undelivered
from notifications.channels.email import keep_handing, take_back
from notifications.desk import Desk
from notifications.mailbox import from_address
from notifications.models import Letter

KEPT = (
    *("Message-ID", "In-Reply-To", "References", "List-Id", "List-Unsubscribe", "List-Unsubscribe-Post"),
    *("Auto-Submitted", "X-Auto-Response-Suppress"),
)
UNTRACKED = {"track_opens": False, "track_clicks": False}
SLOW_DOWN, WHO_ARE_YOU = (429,), (401, 402, 403)
# A 4xx about us and not about this letter: the sender or its domain is not confirmed, the account is closed. The words are from memory,
# no source; what names the recipient is never about us.
ABOUT_US = re.compile(r"\b(sender|from|domain|account|signature)", re.I)
NOT_READY = re.compile(r"verif|confirm|suspend|disabled|not (found|approved|allowed|authori[sz]ed)", re.I)
NO_WORD_OF_IT = (502, 504)  # something between us and the provider gave up waiting


class Mail(EmailMultiAlternatives):
    """A message with what django-anymail reads and writes beside Django's own fields."""

    metadata: dict[str, str]
    anymail_status: Any


class Provider(Channel):
    def __init__(self) -> None:
        self._session_is_ours = False

    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        """One letter to one recipient. Raises Undelivered. Notes what the provider calls it."""
        key = new_key() if letter.person_id else ""
        mail = as_django(message.build(letter, from_address(), key=key, desk=self._desk))
        mail.metadata = {"letter": letter.uid.hex}
        keep_handing(letter, key, before_handing)
        try:
            named = self.hand_over(mail)
        except Undelivered as error:
            take_back(key, error)
            raise
        Letter.objects.filter(pk=letter.pk).update(provider_id=named[:200])

    def hand_over(self, mail: Mail) -> str:
        """Give it to the provider; what the provider calls it. Raises Undelivered."""
        try:
            self._session_is_ours = bool(self._backend.open()) or self._session_is_ours
            try:
                self._give(mail, UNTRACKED)
            except AnymailUnsupportedFeature:  # it was not even asked: this one cannot be told so, by letter
                self._give(mail, {})
        except AnymailError as error:
            raise undelivered(error) from error
        except AnymailConfigurationError as error:
            raise Undelivered(f"{type(error).__name__}: {error}", way_is_shut=True) from error
        named, fate = str(mail.anymail_status.message_id or ""), mail.anymail_status.status or set()
        if not named and fate <= {"failed", "unknown"}:
            raise Undelivered("The provider did not say whether it took the letter.", Trouble.AMBIGUOUS)
        return named

    def close(self) -> None:
        if self._session_is_ours:
            self._backend.close()
            self._session_is_ours = False

    def _give(self, mail: Mail, options: dict[str, bool]) -> None:
        for name in UNTRACKED:
            if hasattr(mail, name):
                delattr(mail, name)
        for name, value in options.items():
            setattr(mail, name, value)
        self._backend.send_messages([mail])

    @cached_property
    def _backend(self) -> Any:
        return get_connection(f"anymail.backends.{settings.MAIL_PROVIDER}.EmailBackend")

    @cached_property
    def _desk(self) -> Desk:
        return Desk.now()


def as_django(raw: bytes) -> Mail:
    """Our message in the form that the backends take apart again: two bodies, the pictures inside, the documents behind."""
    mail = message_from_bytes(raw, policy=default)
    assert isinstance(mail, EmailMessage)
    plain, html = mail.get_body(("plain",)), mail.get_body(("html",))
    made = Mail(
        subject=str(mail["Subject"]),
        body=plain.get_content() if plain else "",
        from_email=str(mail["From"]),
        to=[str(mail["To"])],
        reply_to=[str(mail["Reply-To"])] if mail["Reply-To"] else None,
        headers={name: str(mail[name]) for name in KEPT if mail[name]},
    )
    if html:
        made.attach_alternative(html.get_content(), "text/html")
    for part in mail.walk():
        if part["Content-ID"]:
            made.attach(_inside(part))
        elif part.get_content_disposition() == "attachment":
            made.attach(part.get_filename(), part.get_payload(decode=True), part.get_content_type())
    return made


def undelivered(error: AnymailError) -> Undelivered:
    """What a failure means: whether to try again, and how soon."""
    reason = f"{type(error).__name__}: {_said(error)}"[:400]
    if isinstance(error, AnymailRecipientsRefused | AnymailInvalidAddress):
        return Undelivered(reason, Trouble.PERMANENT, no_such_address=True)
    if isinstance(error, AnymailCancelSend | AnymailUnsupportedFeature):
        return Undelivered(reason, way_is_shut=True)
    status = getattr(error, "status_code", None)
    if status is None:
        return _no_answer(error, reason)
    if status in SLOW_DOWN:
        return Undelivered(reason, Trouble.THROTTLED, wait=_asked_wait(error))
    if status in WHO_ARE_YOU or (400 <= status < 500 and _is_about_us(reason)):
        return Undelivered(reason, way_is_shut=True)
    if status in NO_WORD_OF_IT or 200 <= status < 300:  # it took it, and we did not understand the answer
        return Undelivered(reason, Trouble.AMBIGUOUS)
    return Undelivered(reason, Trouble.PERMANENT if 400 <= status < 500 else Trouble.TEMPORARY)


def _is_about_us(said: str) -> bool:
    return bool(ABOUT_US.search(said) and NOT_READY.search(said)) and "recipient" not in said.lower()


def _no_answer(error: AnymailError, reason: str) -> Undelivered:
    """Nothing left the house if no connection was made; after that nobody knows."""
    cause = error.__cause__
    never_left = isinstance(
        cause, requests.ConnectTimeout | requests.exceptions.SSLError
    ) or _was_not_reached(cause)
    if never_left:
        return Undelivered(reason, way_is_shut=True)
    return Undelivered(reason, Trouble.AMBIGUOUS if isinstance(error, AnymailAPIError) else Trouble.TEMPORARY)


def _was_not_reached(cause: BaseException | None) -> bool:
    inner = cause.args[0] if isinstance(cause, requests.ConnectionError) and cause.args else None
    return isinstance(getattr(inner, "reason", inner), urllib3.exceptions.NewConnectionError)


def _asked_wait(error: AnymailError) -> float | None:
    """Retry-After in seconds (RFC 9110 section 10.2.3); a date is left alone."""
    asked = str(getattr(error.response, "headers", {}).get("Retry-After", ""))
    return float(asked) if asked.isascii() and asked.isdigit() and len(asked) < 6 else None


def _said(error: AnymailError) -> str:
    """The provider's own words where it spoke, without the letter that anymail repeats."""
    status = getattr(error, "status_code", None)
    text = getattr(error.response, "text", "") if error.response is not None else ""
    return f"{status} {text}"[:300] if status else " ".join(str(part) for part in error.args)[:300]


def _inside(part: EmailMessage) -> MIMEImage:
    picture = MIMEImage(part.get_payload(decode=True), part.get_content_subtype())  # type: ignore[arg-type]
    picture["Content-ID"] = str(part["Content-ID"])
    picture["Content-Disposition"] = f'inline; filename="{part.get_filename()}"'
    return picture
