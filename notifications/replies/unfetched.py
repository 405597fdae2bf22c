"""A message of which the mail server does not even hand over the head: it is asked for again, and then the office is told.

How often is counted in an `Incoming` row that stands for it, because that row is what the office gets to see.
"""

import hashlib
import logging

from django.db.models import F
from django.utils.translation import gettext as _

from notifications.models import Incoming, ReplyBox

log = logging.getLogger(__name__)

MOST_TRIES = 3  # looks, a minute from one to the next: many a server says no for a moment
State = Incoming.State


def is_given_up(box: ReplyBox, uid: str) -> bool:
    """Note that it did not come once more. Returns whether that is to be the last time."""
    waiting = {
        "state": State.DONE,
        "via": "imap",
        "why": _("The mail server has not handed it over yet. We ask for it again."),
    }
    row, _is_new = Incoming.objects.get_or_create(fingerprint=_name(box, uid), defaults=waiting)
    Incoming.objects.filter(pk=row.pk).update(tries=F("tries") + 1)
    if row.tries + 1 < MOST_TRIES:
        return False
    why = _("The mail server did not hand it over, not even its head. Look into the mailbox.")
    Incoming.objects.filter(pk=row.pk).update(state=State.ASIDE, why=why)
    log.warning("the mail server does not hand over a message, not even its head")
    return True


def has_come(box: ReplyBox, uid: str) -> None:
    """It came after all."""
    Incoming.objects.filter(fingerprint=_name(box, uid)).delete()


def _name(box: ReplyBox, uid: str) -> str:
    """In place of a fingerprint: what names it in the mailbox (RFC 3501 section 2.3.1.1)."""
    named = (box.host, box.user, box.folder, str(box.uid_validity), uid)
    return hashlib.sha256("\n".join(named).encode()).hexdigest()
