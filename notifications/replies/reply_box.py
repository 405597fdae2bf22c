"""Reads the reply box over IMAP: a few messages at a time, looked at and left as they are.

The folder is opened read-only (EXAMINE, RFC 3501 section 6.3.2) and read with BODY.PEEK, so nothing is moved, deleted or marked as seen: it
is the workshop's own mailbox. How far we are is a message's UID, with the mailbox's UIDVALIDITY (section 2.3.1.1). Each message: file, then
row, then UID. A crash anywhere brings it again, and its fingerprint knows it.
"""

import logging
import ssl
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import timedelta
from imaplib import IMAP4
from time import monotonic

from celery.exceptions import SoftTimeLimitExceeded
from django.utils import timezone
from django.utils.translation import gettext as _
from imap_tools import AND, BaseMailBox, MailBox, MailBoxStartTls, MailBoxUnencrypted, MailMessage
from imap_tools.errors import ImapToolsError, MailboxFetchError

from notifications.models import ReplyBox
from notifications.replies import finding_home, keeping, unfetched
from notifications.replies import head as heads
from notifications.sealing import CannotUnseal, unseal

log = logging.getLogger(__name__)

SECONDS = 10  # for one answer of the server
ROUND_SECONDS = 20
AT_ONCE = 25
LOOK_BACK = timedelta(days=2)  # when the mailbox has numbered its messages anew
FAILURES = (IMAP4.error, ImapToolsError, OSError, UnicodeError)


class NotRead(Exception):
    """The box cannot be read; the text is for the owner."""


class Raw(MailMessage):
    """A message as bytes: the library's own class would take it apart, which is nothing for this process."""

    def __init__(self, fetch_data: list[object]) -> None:
        self.raw, self._raw_uid_data, self._raw_flag_data = self._get_message_data_parts(fetch_data)


class _Hanging:
    """A connection that is let go of whatever happened on it."""

    def __init__(self, server: BaseMailBox) -> None:
        self.server = server

    def close(self) -> None:
        with suppress(*FAILURES):
            self.server.client.logout()
        with suppress(*FAILURES):
            self.server.client.shutdown()


def look() -> int:
    """Keep what is new in the box. Returns how many messages were kept; notes in the box what went wrong."""
    box = ReplyBox.objects.current()
    if box is None:
        return 0
    try:
        with opened(box) as server:
            kept = _read(box, server)
        trouble = ""
    except NotRead as problem:
        kept, trouble = 0, str(problem)
        log.warning("the reply box could not be read: %s", type(problem.__cause__).__name__)
    ReplyBox.objects.filter(pk=box.pk).update(last_look=timezone.now(), trouble=trouble[:300])
    return kept


@contextmanager
def opened(box: ReplyBox) -> Iterator[BaseMailBox]:
    """The box's folder, opened read-only. Raises NotRead, also for what goes wrong inside."""
    try:
        password = unseal(box.sealed_password)
        server = _connected(box)
        with closing(_Hanging(server)):
            server.login(box.user, password, initial_folder=None)
            server.email_message_class = Raw
            server.folder.set(box.folder, readonly=True)
            yield server
    except CannotUnseal as wrong:
        raise NotRead(_("The password cannot be read any more. Type it again.")) from wrong
    except FAILURES as wrong:
        raise NotRead(meaning(wrong)) from wrong


def meaning(error: Exception) -> str:
    """What went wrong, for the owner, without anything that somebody wrote."""
    name = type(error).__name__
    if name == "gaierror":
        return _("There is no server of that name. Look at the spelling.")
    if isinstance(error, ConnectionRefusedError):
        return _("The machine answers, but not at this port. Look at the port.")
    if isinstance(error, TimeoutError):
        return _("Nobody answered in time. Look at the name of the server and the port.")
    if isinstance(error, ssl.SSLCertVerificationError):
        return _("The server’s certificate does not fit its name, so we did not log in.")
    if isinstance(error, ssl.SSLError):
        return _("The server does not speak TLS at this port. Try the other kind of security.")
    if name == "MailboxLoginError":
        return _("The server does not take this user name and password. Some providers want an app password.")
    if name == "MailboxFolderSelectError":
        return _("There is no folder of that name.")
    return _("The server hung up or did not say what we expected. Look at port and security.")


def _connected(box: ReplyBox) -> BaseMailBox:
    tls = ssl.create_default_context()
    if box.security == ReplyBox.Security.TLS:
        return MailBox(box.host, box.port, timeout=SECONDS, ssl_context=tls)
    if box.security == ReplyBox.Security.STARTTLS:
        return MailBoxStartTls(box.host, box.port, timeout=SECONDS, ssl_context=tls)
    return MailBoxUnencrypted(box.host, box.port, timeout=SECONDS)


def _read(box: ReplyBox, server: BaseMailBox) -> int:
    until = monotonic() + ROUND_SECONDS
    kept = 0
    for uid in _new_uids(box, server)[:AT_ONCE]:
        try:
            kept += _keep_one(server, uid)
            unfetched.has_come(box, uid)
        except MailboxFetchError:
            if not unfetched.is_given_up(box, uid):
                break  # those after it wait a minute or two for the next look
        ReplyBox.objects.filter(pk=box.pk, uid_validity=box.uid_validity).update(last_uid=int(uid))
        if monotonic() > until:
            break
    return kept


def _new_uids(box: ReplyBox, server: BaseMailBox) -> list[str]:
    """Numbers of the messages after the last one that we know, lowest first.

    The first look begins with what comes from now on. When the mailbox has numbered its messages anew, those of the last two days
    are looked at once more.
    """
    stands = server.folder.status(box.folder, ["UIDVALIDITY", "UIDNEXT"])
    valid, following = stands["UIDVALIDITY"], stands["UIDNEXT"]
    if box.uid_validity != valid:
        found = _of_late(box, server) if box.uid_validity else []
        box.uid_validity, box.last_uid = valid, int(found[0]) - 1 if found else following - 1
        ReplyBox.objects.filter(pk=box.pk).update(uid_validity=valid, last_uid=box.last_uid)
        return found
    # "n:*" always has the last message in it, however small its number (RFC 3501 section 6.4.8).
    found = server.uids(f"UID {box.last_uid + 1}:*")
    return sorted((uid for uid in found if int(uid) > box.last_uid), key=int)


def _of_late(box: ReplyBox, server: BaseMailBox) -> list[str]:
    since = (box.last_look or timezone.now()) - LOOK_BACK
    return sorted(server.uids(AND(date_gte=since.date())), key=int)


def _keep_one(server: BaseMailBox, uid: str) -> bool:
    """Look at a message's head; fetch and keep the whole where it is our business."""
    found = next(iter(server.fetch(uid_list=[uid], headers_only=True, mark_seen=False)), None)
    if not isinstance(found, Raw):  # moved away in this moment
        return False
    try:
        head = heads.read(found.raw)
    except heads.TooMuch:
        keeping.keep_head(found.raw, "imap", found.size_rfc822)
        return True
    if not finding_home.concerns_us(head):
        return False
    if found.size_rfc822 > keeping.MOST_BYTES:
        keeping.keep_head(found.raw, "imap", found.size_rfc822)
        return True
    try:
        for whole in server.fetch(uid_list=[uid], mark_seen=False):
            if isinstance(whole, Raw):
                keeping.keep(whole.raw, "imap")
    except (MailboxFetchError, SoftTimeLimitExceeded):
        # Never again the same one: it would stop all that come after it.
        why = _("The mail server did not hand it over. Only its head is kept here; look into the mailbox.")
        keeping.keep_head(found.raw, "imap", found.size_rfc822, why)
    return True
