"""Which job a message belongs to. Guessed never: by an address that we signed, or by a letter that it answers *and* its sender."""

from django.utils.translation import gettext as _

from jobs.models import Customer, Job, Staff, Workshop
from notifications import links
from notifications.mailbox import from_address
from notifications.models import Letter, ReplyBox
from notifications.replies import address
from notifications.replies.head import Head


def home_of(head: Head) -> tuple[Job, Customer] | str:
    """The job and the person, or why there is none, in a sentence for the office.

    A Message-ID of ours can be copied out of a forwarded letter and a sender can be typed, so by that road both have to fit; and
    even then a message can only ask.
    """
    if found := next(filter(None, map(address.whose, head.to)), None):
        return _("It comes from one of your own addresses.") if _is_our_own(head.from_address) else found
    if any(map(address.looks_signed, head.to)):
        return _("It went to an address that we did not sign, or that no longer counts.")
    letter = answered(head)
    if letter is None:
        return _("It answers no letter of ours.")
    if letter.person is None or letter.person.email.lower() != head.from_address.lower():
        return _("It answers a letter of ours, but comes from another address than that customer’s.")
    return letter.job, letter.person


def answered(head: Head) -> Letter | None:
    """The letter to a customer that it answers; In-Reply-To counts before References."""
    written = Letter.objects.filter(message_id__in=head.answers, person__isnull=False)
    found = {letter.message_id: letter for letter in written.select_related("job", "person")}
    return next((found[one] for one in head.answers if one in found), None)


def _is_our_own(sender: str) -> bool:
    """Whoever works here and answers from their mail program, with the job's address among the recipients, is not the customer."""
    house, box = Workshop.objects.current(), ReplyBox.objects.current()
    ours = {house.email if house else "", from_address(), box.address if box else ""}
    ours |= set(Staff.objects.values_list("email", flat=True))
    return sender.lower() in {one.lower() for one in ours if one}


def concerns_us(head: Head) -> bool:
    """Whether a message of an ordinary mailbox is any of our business: to a signed address, about a letter of ours, a mail server's
    report, or from a customer. Our own letters to the workshop, which lie in it too, are none."""
    ours = f"@{links.host()}>"
    if any(map(address.looks_signed, head.to)):
        return True
    if head.message_id.endswith(ours) and Letter.objects.filter(message_id=head.message_id).exists():
        return False
    return (
        any(one.endswith(ours) for one in head.answers)
        or head.first("content-type").strip().lower().startswith("multipart/report")
        or Customer.objects.filter(email__iexact=head.from_address).exists()
    )
