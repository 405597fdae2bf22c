"""Whether a program wrote a message. Such a message is never a question, and never answered: that is how loops begin.

RFC 3834 sections 2 and 5; RFC 2919 and 2369 (lists); RFC 6522 (reports); RFC 5321 section 4.5.5 (the null reverse-path). Precedence is
older than any standard (RFC 2076 calls it non-standard). X-Auto-Response-Suppress is MS-OXCMAIL 2.1.3.2.20, which programs set in their
own automatic answers. X-Autoreply and X-Autorespond: common practice, no source.
"""

import re

from django.utils.translation import gettext as _

from notifications.replies.head import Head

COMMENT = re.compile(r"\([^()]*\)")
BULK = {"bulk", "list", "junk", "auto_reply"}
LIST_FIELDS = ("list-id", "list-unsubscribe", "list-post", "list-help")
OLD_MARKS = ("x-autoreply", "x-autorespond", "x-auto-response-suppress")
SERVERS_OWN = {"mailer-daemon", "postmaster"}


def why_robot(head: Head) -> str:
    """Why we hold it to be written by a program, in a sentence for the office; "" for a person's message."""
    if is_report(head):
        return _("A mail server's report about a letter.")
    if marked_automatic(head):
        return _("An automatic answer, an absence note perhaps. It says so itself.")
    if null_sender(head) or _local_part(head.from_address) in SERVERS_OWN:
        return _("A mail server wrote it.")
    if head.first("precedence").strip().lower() in BULK or any(head.all(name) for name in LIST_FIELDS):
        return _("It came through a list, or went to many at once.")
    if any(head.all(name) for name in OLD_MARKS):
        return _("An automatic answer. It asks not to be answered.")
    return ""


def is_report(head: Head) -> bool:
    """A report in the form that programs read: about a delivery (RFC 3464), or that a letter was shown (RFC 8098)."""
    return head.first("content-type").strip().lower().startswith("multipart/report")


def marked_automatic(head: Head) -> bool:
    """RFC 3834 section 5: anything but "no", whatever parameters and comments follow."""
    for value in head.all("auto-submitted"):
        keyword = COMMENT.sub("", value).partition(";")[0].strip().lower()
        if keyword != "no":
            return True
    return False


def null_sender(head: Head) -> bool:
    """`Return-Path: <>`, noted by the server that delivered it."""
    return any(COMMENT.sub("", value).strip() in ("<>", "") for value in head.all("return-path"))


def _local_part(address: str) -> str:
    return address.rpartition("@")[0].lower()
