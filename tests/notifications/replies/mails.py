"""Messages as mail programs write them."""

from email.message import EmailMessage
from email.policy import SMTP
from typing import Any

from jobs.models import Job
from notifications.replies import address

BOX = "bench@tidewater.example"
QUOTED = "\n\nOn Tue, 3 Nov 2026 at 10:12, Tidewater Camera Works <bench@tidewater.example> wrote:\n> Dear Orla,\n> It is at the bench.\n"


def to(job: Job, mailbox: str = BOX) -> str:
    return address.signed(mailbox, job, job.customer)


def reply(job: Job | None = None, text: str = "Will it last?", **fields: Any) -> bytes:
    """A reply of the job's customer to its signed address. `fields`: headers, with `_` for a hyphen; None leaves one out."""
    mail = EmailMessage(policy=SMTP)
    told = {
        "From": f"Orla Fennimore <{job.customer.email}>" if job else "Somebody <somebody@example.net>",
        "To": to(job) if job else BOX,
        "Subject": "Re: Your Corvane Skerry",
        "Date": "Tue, 03 Nov 2026 10:20:00 +0000",
        "Message-ID": "<reply-1@example.org>",
        **{name.replace("_", "-"): value for name, value in fields.items()},
    }
    for name, value in told.items():
        if value is not None:
            mail[name] = value
    mail.set_content(text + QUOTED)
    return bytes(mail)


def with_files(raw: bytes, *files: tuple[str, bytes, str]) -> bytes:
    """The same message with files enclosed: (name, content, "image/jpeg")."""
    from email import message_from_bytes
    from email.policy import default

    mail = message_from_bytes(raw, policy=default)
    assert isinstance(mail, EmailMessage)
    for name, content, kind in files:
        main, _slash, sub = kind.partition("/")
        mail.add_attachment(content, maintype=main, subtype=sub, filename=name)
    return mail.as_bytes(policy=SMTP)
