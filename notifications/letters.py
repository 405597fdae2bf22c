"""What the office does with letters: look at one, send one again, try the mailbox."""

from contextlib import closing
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.models import Workshop
from notifications import links, mailbox, message, ways, writing
from notifications.channels.email import post
from notifications.channels.provider import Provider, as_django
from notifications.mailbox import Mailbox, keep_account
from notifications.mailbox import mailbox as mail_connection
from notifications.models import Letter, MailAccount
from notifications.previews import Preview, images_inside, preview, sample
from notifications.waking import wake_letters

__all__ = [
    "Preview",
    "images_inside",
    "keep_account",
    "mail_connection",
    "preview",
    "resend",
    "sample",
    "send_test_letter",
]


def resend(letter: Letter) -> None:
    """Send a letter again, to the address that we have now. The Message-ID stays, so a copy that did arrive is known as one.

    Raises Refused while it is being sent, and when there is no address.
    """
    with transaction.atomic():
        fresh = Letter.objects.select_for_update(of=("self",)).get(pk=letter.pk)
        if fresh.state == Letter.State.SENDING:
            raise Refused(_("This letter is being sent at this moment."))
        _make_ready(fresh)
        fresh.save()
        transaction.on_commit(lambda: wake_letters([fresh.pk]), robust=True)
    letter.refresh_from_db()


def _make_ready(letter: Letter) -> None:
    letter.to_address = ways.address_on_file(letter.person, letter.channel)
    if not letter.to_address:
        raise Refused(_("There is no e-mail address to write to."))
    letter.state, letter.why, letter.last_error, letter.by_hand = Letter.State.WAITING, "", "", True
    letter.trouble = ""
    letter.attempts, letter.doubts, letter.next_attempt_at = 0, 0, timezone.now()
    if not letter.text:
        writing.compose(letter)
    if letter.state == Letter.State.FAILED:
        raise Refused(_("This letter cannot be written: %(why)s") % {"why": letter.last_error})


def send_test_letter(account: MailAccount | Mailbox | None, to: str) -> None:
    """Send a short test through a mailbox that may not be kept yet; None is the way that letters go now.

    Raises Undelivered with what the other side said.
    """
    box = mailbox.of(account) if isinstance(account, MailAccount) else account
    house = Workshop.objects.current()
    subject = _("A test letter from %(house)s") % {"house": house.name if house else "Benchletter"}
    text = _(
        "This letter came through the mailbox that you have just set up. Letters to your customers will come the same way."
    )
    send_simple(subject, text, to, box)


def send_simple(subject: str, text: str, to: str, box: Mailbox | None = None) -> None:
    """A message that is no letter, by the mailbox `box` or else the way that letters go now. Raises Undelivered."""
    by_provider = box is None and bool(settings.MAIL_PROVIDER)
    box = box or (None if by_provider else mailbox.mailbox())
    sender = box.from_address if box else mailbox.from_address()
    house = Workshop.objects.current()
    name = house.name if house else "Benchletter"
    raw = message.simple(subject, f"{text}\n", name, sender, to, links.message_id(uuid4()))
    if box is None:
        with closing(Provider()) as provider:
            provider.hand_over(as_django(raw))
    else:
        post(box, to, lambda: raw, lambda: None)
