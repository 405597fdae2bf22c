"""Whether the reply box takes signed addresses: a letter goes to one, and when it is found in the box, they are used from then on."""

import logging

from django.utils import timezone
from django.utils.translation import gettext as _

from notifications.letters import send_simple
from notifications.models import ReplyBox
from notifications.replies import address
from notifications.replies.head import Head

log = logging.getLogger(__name__)


def send(box: ReplyBox) -> None:
    """Send the test by the way that letters go. Raises Undelivered."""
    text = _("This letter tests whether answers to your letters can be told apart. You need not do anything.")
    send_simple(_("A test of the reply box"), text, address.proof(box.address))


def note(head: Head) -> bool:
    """Whether this is that test; if so it has arrived."""
    box = ReplyBox.objects.current()
    if box is None or not any(address.is_proof(to, box.address) for to in head.to):
        return False
    ReplyBox.objects.filter(pk=box.pk, address=box.address).update(plus_proved_at=timezone.now())
    log.info("signed addresses arrive in the reply box")
    return True
