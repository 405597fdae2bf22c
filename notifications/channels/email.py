"""E-mail over SMTP.

smtplib directly, not Django's backend: that one reports a failed dialogue without saying at which step it failed, and the step
decides everything. Before DATA nothing has left the house and trying again is safe. After it the server may have the letter
although we never heard so (RFC 1047; RFC 5321 section 6.1).

The letters of one round go over one connection, each in a transaction of its own with one recipient (RFC 5321 section 3.3). A
connection on which anything went wrong is not used again.
"""

import re
import smtplib
import ssl
from collections.abc import Callable
from contextlib import suppress
from functools import cached_property

from django.conf import settings
from django.db import transaction

from jobs.actions.linking import keep_link, new_key, take_back_link
from notifications import message
from notifications.channels.base import Channel, Trouble, Undelivered
from notifications.channels.replies import refusal
from notifications.desk import Desk
from notifications.mailbox import Mailbox, mailbox
from notifications.models import Letter
from notifications.sealing import CannotUnseal

GO_AHEAD = 354
GOODBYE_SECONDS = 2
MOST_ON_ONE_LINE = 50  # letters; some servers hang up after a hundred (from memory)
LEADING_DOT = re.compile(rb"^\.", re.MULTILINE)  # RFC 5321 section 4.5.2, transparency


class Email(Channel):
    def __init__(self) -> None:
        self._server: smtplib.SMTP | None = None
        self._left = 0  # letters that the open connection still takes

    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        """One letter, one recipient, one transaction. Raises Undelivered."""
        key = new_key() if letter.person_id else ""
        try:
            server = self._reach(letter.to_address)
            content = message.build(letter, self._box.from_address, key=key, desk=self._desk)
            _hand_over(server, content, lambda: keep_handing(letter, key, before_handing))
        except (
            BaseException
        ) as error:  # not even for the end of the task's time: who knows where the dialogue stands
            self.close()
            take_back(key, error)
            raise
        self._left -= 1

    def close(self) -> None:
        if self._server is not None:
            _say_goodbye(self._server)
            self._server = None

    def _reach(self, to: str) -> smtplib.SMTP:
        """A server that has taken sender and recipient. If the kept connection is gone by now, nothing has left: once more on a new one."""
        if self._server is not None and self._left > 0:
            with suppress(_Gone):
                _address(self._server, self._box.from_address, to)
                return self._server
        self.close()
        self._server, self._left = connect(self._box), MOST_ON_ONE_LINE
        _address(self._server, self._box.from_address, to)
        return self._server

    @cached_property
    def _box(self) -> Mailbox:
        try:
            return mailbox()
        except CannotUnseal:
            reason = "The mailbox password cannot be read any more. Type it again under Settings."
            raise Undelivered(reason, way_is_shut=True) from None

    @cached_property
    def _desk(self) -> Desk:
        return Desk.now()


def keep_handing(letter: Letter, key: str, before_handing: Callable[[], None]) -> None:
    """The private link begins to live with the note that the letter leaves: one commit, and none for a letter that does not."""
    with transaction.atomic():
        before_handing()
        if key:
            keep_link(letter.job, key, made_for=letter.to_address)


def take_back(key: str, error: BaseException) -> None:
    """The private link of a letter that was certainly not taken opens nothing."""
    if key and isinstance(error, Undelivered) and not error.ambiguous:
        take_back_link(key)


class _Gone(Undelivered):
    """The other side has hung up, or is about to."""


def post(box: Mailbox, to: str, write: Callable[[], bytes], before_handing: Callable[[], None]) -> None:
    """One message on a connection of its own. Raises Undelivered.

    `write` makes the message once the server has taken the recipient, so that a try that failed before leaves no unused
    private link behind; `before_handing` is called when the server asks for it.
    """
    server = connect(box)
    try:
        _address(server, box.from_address, to)
        _hand_over(server, write(), before_handing)
    finally:
        _say_goodbye(server)


def connect(box: Mailbox) -> smtplib.SMTP:
    """Connect and log in. Whatever goes wrong here is about the mailbox, not the letter: never permanent."""
    try:
        server = _open(box)
    except (smtplib.SMTPException, OSError) as error:
        raise _shut(error) from error
    try:
        if box.security == "starttls":
            server.starttls(context=ssl.create_default_context())
        if box.user:
            server.login(box.user, box.password)
        server.ehlo_or_helo_if_needed()
    except (smtplib.SMTPException, OSError, UnicodeError) as error:
        server.close()
        raise _shut(error) from error
    return server


def _open(box: Mailbox) -> smtplib.SMTP:
    if box.security == "tls":
        return smtplib.SMTP_SSL(
            box.host, box.port, timeout=settings.EMAIL_TIMEOUT, context=ssl.create_default_context()
        )
    return smtplib.SMTP(box.host, box.port, timeout=settings.EMAIL_TIMEOUT)


def _address(server: smtplib.SMTP, sender: str, to: str) -> None:
    try:
        _check(*server.mail(message.ascii_address(sender)), about_the_letter=False)
        _check(*server.rcpt(message.ascii_address(to)))
    except (smtplib.SMTPException, OSError) as error:
        raise _Gone(_reason(error)) from error


def _hand_over(server: smtplib.SMTP, content: bytes, before_handing: Callable[[], None]) -> None:
    """Announce the content; when it is asked for, note so and let it go."""
    try:
        code, reply = server.docmd("DATA")
    except (smtplib.SMTPException, OSError) as error:
        raise Undelivered(_reason(error)) from error
    if code != GO_AHEAD:
        _check(code, reply)
        raise Undelivered(f"{code} {reply.decode(errors='replace')}")
    before_handing()
    _let_go(server, content)


def _let_go(server: smtplib.SMTP, content: bytes) -> None:
    """From the first byte on the server may have the letter, and only its answer tells."""
    try:
        server.send(LEADING_DOT.sub(b"..", content) + b".\r\n")
        code, reply = server.getreply()
    except (smtplib.SMTPException, OSError) as error:
        raise Undelivered(_reason(error), Trouble.AMBIGUOUS) from error
    _check(code, reply)


def _say_goodbye(server: smtplib.SMTP) -> None:
    """What it says to QUIT changes nothing, so it gets little time."""
    with suppress(smtplib.SMTPException, OSError):
        if server.sock:
            server.sock.settimeout(GOODBYE_SECONDS)
        server.quit()
    server.close()


def _check(code: int, reply: bytes, *, about_the_letter: bool = True) -> None:
    if 200 <= code < 300:
        return
    error = refusal(code, reply.decode(errors="replace"), about_the_letter=about_the_letter)
    raise (
        _Gone(error.reason, error.kind, wait=error.wait, way_is_shut=error.way_is_shut)
        if code == 421
        else error
    )


def _shut(error: Exception) -> Undelivered:
    """The error for a door that did not open: the server's own words where it spoke, else what kept us from it."""
    if isinstance(error, smtplib.SMTPResponseException):
        said = _bytes(error.smtp_error).decode(errors="replace")
        return refusal(error.smtp_code, said, about_the_letter=False)
    return Undelivered(_reason(error), way_is_shut=True)


def _bytes(reply: bytes | str) -> bytes:
    return reply if isinstance(reply, bytes) else reply.encode()


def _reason(error: Exception) -> str:
    return f"{type(error).__name__}: {error}"
