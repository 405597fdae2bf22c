"""Answers to letters of the demo, as their readers' mail programs would write them.

What is made here is a real message (RFC 5322) and goes the road of every other: it is kept, and `replies` decides what becomes of it.
"""

from collections.abc import Iterator
from datetime import datetime
from email import message_from_bytes, policy
from email.headerregistry import Address
from email.message import EmailMessage
from email.utils import format_datetime
from uuid import uuid4

from django.utils import timezone

from jobs.models import Job
from jobs.words import Way
from notifications import message
from notifications.headers import POLICY
from notifications.mailbox import from_address
from notifications.models import Letter
from notifications.replies import keeping, taking

VIA = "letterbox"


def can_be_answered(letter: EmailMessage) -> bool:
    """Whether its reader could answer it: it says from whom it came and to whom, and those are two."""
    reader, writer = _reader(letter), _writer(letter)
    return bool(reader and writer and reader.addr_spec != writer.addr_spec)


def send(letter: EmailMessage, text: str) -> None:
    """Answer a letter for which `can_be_answered`; a worker takes the answer in, as it takes any message."""
    keeping.keep(answer(letter, text), VIA)


def answer(letter: EmailMessage, text: str, *, sender: str = "", by_itself: bool = False) -> bytes:
    """The message, CRLF line ends: under the words the letter as mail programs quote it. `sender` is another address of the reader's;
    `by_itself` makes it an absence note (RFC 3834), which quotes nothing.
    """
    reader, writer = _reader(letter), _writer(letter)
    assert reader
    assert writer
    subject = str(letter["Subject"] or "")
    mail = EmailMessage(policy=POLICY)
    sender = sender or reader.addr_spec
    mail["From"] = message.mailbox_of(reader.display_name, sender)
    mail["To"] = message.mailbox_of(writer.display_name, writer.addr_spec)
    mail["Subject"] = f"Automatic reply: {subject}" if by_itself else _answering(subject)
    mail["Date"] = timezone.now()
    mail["Message-ID"] = f"<{uuid4()}@{sender.rpartition('@')[2]}>"
    _thread(mail, letter)
    if by_itself:
        mail["Auto-Submitted"] = "auto-replied"
    mail.set_content(text if by_itself else f"{text}\n\n{_quoted(letter)}", cte="quoted-printable")
    return mail.as_bytes()


def answer_in_the_past(job: Job, text: str, how: str) -> None:
    """Let a customer of the story answer the newest letter that they have, at the moment at which the story's clock stands.

    `how`: "answer", "absent" (their program answers by itself), or the other address of theirs that they wrote from. No worker is
    woken, because workers live in the present: it is taken in here.
    """
    had = Letter.objects.to_customers().owed().filter(job=job, channel=Way.EMAIL)
    letter = had.select_related("entry", "job__item", "job__customer", "person").last()
    if letter is None:
        return
    # The link of a letter that was never sent opens nothing.
    raw = message.build(letter, from_address(), letter.next_attempt_at, key="")
    came = message_from_bytes(raw, policy=policy.default)
    sender = how if "@" in how else ""
    written = answer(came, text, sender=sender, by_itself=how == "absent")
    taking.take(keeping.keep(written, VIA, wakes=False).pk)


def _thread(mail: EmailMessage, letter: EmailMessage) -> None:
    """RFC 5322 section 3.6.4. A letter without an identifier begins no thread."""
    identifier = str(letter["Message-ID"] or "").strip()
    if identifier:
        mail["In-Reply-To"] = identifier
        mail["References"] = f"{letter['References'] or ''} {identifier}".strip()


def _answering(subject: str) -> str:
    return subject if subject.lower().startswith("re:") else f"Re: {subject}"


def _quoted(letter: EmailMessage) -> str:
    """The letter's plain words, each line marked, under the line by which programs begin a quotation."""
    part = letter.get_body(("plain",))
    lines = str(part.get_content()).rstrip().splitlines() if part else []
    return "\n".join([f"On {_when(letter)}, {_writer(letter)} wrote:", *map(_marked, lines)])


def _marked(line: str) -> str:
    return f"> {line}".rstrip()


def _when(letter: EmailMessage) -> str:
    at: datetime | None = letter["Date"].datetime if letter["Date"] else None
    local = timezone.localtime(at) if at and at.tzinfo else timezone.localtime()
    return f"{format_datetime(local)[:16]} at {local:%H:%M}"  # in English, whatever the page speaks


def _reader(letter: EmailMessage) -> Address | None:
    return next(_addresses(letter, "To"), None)


def _writer(letter: EmailMessage) -> Address | None:
    """Reply-To counts before From (RFC 5322 section 3.6.2)."""
    return next(_addresses(letter, "Reply-To"), None) or next(_addresses(letter, "From"), None)


def _addresses(letter: EmailMessage, name: str) -> Iterator[Address]:
    for header in letter.get_all(name, []):
        yield from (each for each in header.addresses if each.username and each.domain)
