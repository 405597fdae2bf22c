"""E-mail over SMTP.

smtplib directly, not Django's backend: that one reports a failed dialogue without saying at which step it failed, and the step
decides everything. Before DATA nothing has left the house and trying again is safe. After it the server may have the letter
although we never heard so (RFC 1047; RFC 5321 section 6.1).
"""

import re
import smtplib
import ssl
from collections.abc import Callable
from contextlib import suppress

from django.conf import settings

from notifications import message
from notifications.channels.base import Undelivered
from notifications.mailbox import Mailbox, mailbox
from notifications.models import Letter
from notifications.sealing import CannotUnseal

GO_AHEAD = 354
GOODBYE_SECONDS = 2
LEADING_DOT = re.compile(rb"^\.", re.MULTILINE)  # RFC 5321 section 4.5.2, transparency


class Email:
    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        """One letter, one recipient, one dialogue. Raises Undelivered."""
        box = _box()
        post(box, letter.to_address, lambda: message.build(letter, box.from_address), before_handing)


def post(box: Mailbox, to: str, write: Callable[[], bytes], before_handing: Callable[[], None]) -> None:
    """Hold the SMTP dialogue. Raises Undelivered.

    `write` makes the message once the server has taken the recipient, so that a try that failed before leaves no unused
    private link behind; `before_handing` is called when the server asks for it.
    """
    server = connect(box)
    try:
        _address(server, box.from_address, to)
        content = write()
        _announce(server)
        before_handing()
        _hand_over(server, content)
    finally:
        _say_goodbye(server)


def connect(box: Mailbox) -> smtplib.SMTP:
    """Connect and log in. Whatever goes wrong here is about the mailbox, not the letter: never permanent."""
    try:
        server = _open(box)
    except (smtplib.SMTPException, OSError) as error:
        raise Undelivered(_reason(error)) from error
    try:
        if box.security == "starttls":
            server.starttls(context=ssl.create_default_context())
        if box.user:
            server.login(box.user, box.password)
    except (smtplib.SMTPException, OSError, UnicodeError) as error:
        server.close()
        raise Undelivered(_reason(error)) from error
    return server


def _open(box: Mailbox) -> smtplib.SMTP:
    if box.security == "tls":
        return smtplib.SMTP_SSL(
            box.host, box.port, timeout=settings.EMAIL_TIMEOUT, context=ssl.create_default_context()
        )
    return smtplib.SMTP(box.host, box.port, timeout=settings.EMAIL_TIMEOUT)


def _address(server: smtplib.SMTP, sender: str, to: str) -> None:
    try:
        server.ehlo_or_helo_if_needed()
        _check(*server.mail(message.ascii_address(sender)))
        _check(*server.rcpt(message.ascii_address(to)))
    except (smtplib.SMTPException, OSError) as error:
        raise Undelivered(_reason(error)) from error


def _announce(server: smtplib.SMTP) -> None:
    try:
        code, reply = server.docmd("DATA")
    except (smtplib.SMTPException, OSError) as error:
        raise Undelivered(_reason(error)) from error
    if code != GO_AHEAD:
        _check(code, reply)
        raise Undelivered(f"{code} {reply.decode(errors='replace')}")


def _hand_over(server: smtplib.SMTP, content: bytes) -> None:
    """From the first byte on the server may have the letter, and only its answer tells."""
    try:
        server.send(LEADING_DOT.sub(b"..", content) + b".\r\n")
        code, reply = server.getreply()
    except (smtplib.SMTPException, OSError) as error:
        raise Undelivered(_reason(error), ambiguous=True) from error
    _check(code, reply)


def _say_goodbye(server: smtplib.SMTP) -> None:
    """What it says to QUIT changes nothing, so it gets little time."""
    with suppress(smtplib.SMTPException, OSError):
        if server.sock:
            server.sock.settimeout(GOODBYE_SECONDS)
        server.quit()
    server.close()


def _check(code: int, reply: bytes) -> None:
    """RFC 5321 section 4.2.1: 4yz is temporary, 5yz is permanent."""
    if not 200 <= code < 300:
        said = reply.decode(errors="replace")
        raise Undelivered(f"{code} {said}", permanent=500 <= code < 600)


def _bytes(reply: bytes | str) -> bytes:
    return reply if isinstance(reply, bytes) else reply.encode()


def _reason(error: Exception) -> str:
    if isinstance(error, smtplib.SMTPResponseException):
        return f"{error.smtp_code} {_bytes(error.smtp_error).decode(errors='replace')}"
    return f"{type(error).__name__}: {error}"


def _box() -> Mailbox:
    try:
        return mailbox()
    except CannotUnseal:
        raise Undelivered(
            "The mailbox password cannot be read any more. Type it again under Settings."
        ) from None
