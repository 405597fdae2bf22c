"""What the office does with letters: look at one, send one again, try the mailbox."""

from dataclasses import dataclass
from uuid import uuid4

from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.models import Workshop
from notifications import links, mailbox, message, ways, writing
from notifications.channels.email import post
from notifications.drawn import drawing_for, png
from notifications.mailbox import Mailbox, keep_account
from notifications.mailbox import mailbox as mail_connection
from notifications.models import Letter, MailAccount
from notifications.waking import wake_letters

__all__ = [
    "Preview",
    "drawing_inside",
    "keep_account",
    "mail_connection",
    "preview",
    "resend",
    "send_test_letter",
]

SAMPLE_PHOTO_WIDTH = 800


@dataclass(frozen=True)
class Preview:
    """A letter as it reads, for the office. Its links lead nowhere: the office must not come in as the customer."""

    subject: str
    text: str
    html: str


def preview(letter: Letter) -> Preview:
    """The kept words with dead links; the picture comes from our own address of photographs."""
    html = letter.html
    if letter.photo:
        address = reverse("photo", args=[letter.photo.uid, SAMPLE_PHOTO_WIDTH])
        html = html.replace(f"cid:{links.content_id(letter.uid)}", address)
    return Preview(letter.subject, _without_keys(letter.text, letter), _without_keys(html, letter))


def drawing_inside(letter: Letter) -> tuple[str, bytes] | None:
    """The library's drawing as the letter names it ("cid:..."), and its PNG. None when there is none inside."""
    drawn = drawing_for(letter.entry, letter.kind) if links.drawing_id(letter.uid) in letter.html else None
    made = png(drawn) if drawn else None
    return (f"cid:{links.drawing_id(letter.uid)}", made) if made else None


def _without_keys(part: str, letter: Letter) -> str:
    for place in (links.key_place, links.off_place, links.code_place):
        part = part.replace(place(letter.uid), "…")
    return part


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


def send_test_letter(account: MailAccount | Mailbox, to: str) -> None:
    """Send a short test through a mailbox that may not be kept yet. Raises Undelivered with what the mail server said."""
    box = mailbox.of(account) if isinstance(account, MailAccount) else account
    house = Workshop.objects.current()
    name = house.name if house else "Benchletter"
    subject = _("A test letter from %(house)s") % {"house": name}
    text = _(
        "This letter came through the mailbox that you have just set up. Letters to your customers will come the same way."
    )
    identity = links.message_id(uuid4())
    post(
        box,
        to,
        lambda: message.simple(subject, f"{text}\n", name, box.from_address, to, identity),
        lambda: None,
    )
