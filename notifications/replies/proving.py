"""Whether the reply box takes signed addresses: a letter goes to one, and when it is found in the box, they are used from then on."""

import logging
from uuid import uuid4

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import Workshop
from notifications import links, mailbox, message
from notifications.channels.email import post
from notifications.models import ReplyBox
from notifications.replies import address
from notifications.replies.head import Head

log = logging.getLogger(__name__)


def send(box: ReplyBox) -> None:
    """Send the test by the mailbox that letters go out by. Raises Undelivered."""
    to = address.proof(box.address)
    way = mailbox.mailbox()
    house = Workshop.objects.current()
    name = house.name if house else "Benchletter"
    text = _("This letter tests whether answers to your letters can be told apart. You need not do anything.")
    identity = links.message_id(uuid4())
    subject = _("A test of the reply box")
    post(
        way,
        to,
        lambda: message.simple(subject, f"{text}\n", name, way.from_address, to, identity),
        lambda: None,
    )


def note(head: Head) -> bool:
    """Whether this is that test; if so it has arrived."""
    box = ReplyBox.objects.current()
    if box is None or not any(address.is_proof(to, box.address) for to in head.to):
        return False
    ReplyBox.objects.filter(pk=box.pk, address=box.address).update(plus_proved_at=timezone.now())
    log.info("signed addresses arrive in the reply box")
    return True
