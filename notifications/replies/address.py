"""The address that an answer goes to: `bench+4tm7qkr.abcdefghij234567@example.org`.

After the plus (subaddressing, RFC 5233) stand the job's reference and an HMAC over job, person and the person's address on file: 80 bits
in base 32 (RFC 4648 section 6), lower case, because some programs change the case of an address. Whoever has a letter has it, and can
put a question to that one job. Correcting a customer's address makes those in older letters void, like the private links in them.
"""

import base64
import re
from collections.abc import Iterator

from django.conf import settings
from django.utils.crypto import constant_time_compare, salted_hmac

from jobs import refs
from jobs.models import Customer, Job
from notifications.desk import Desk
from notifications.models import Letter

SALT = "notifications.replies.address"
SIGNATURE_BYTES = 10
LONGEST_LOCAL_PART = 64  # octets, RFC 5321 section 4.5.3.1.1
SIGNED = re.compile(r"^[^@]+\+(?P<about>[0-9a-z]{5,7})\.(?P<signature>[a-z2-7]{16})@", re.IGNORECASE)
PROOF = "proof"  # stands where the reference would: a test whether the mailbox takes such addresses


def reply_to(letter: Letter, desk: Desk | None = None) -> str:
    """Where an answer to this letter goes; "" when there is nowhere but the address that it came from.

    Signed where answers can be taken to their job, else the plain address of the reply box, else the workshop's own.
    """
    desk = desk or Desk.now()
    plain = desk.house.email if desk.house else ""
    if letter.person is None:
        return plain
    if settings.REPLY_ADDRESS:
        return signed(settings.REPLY_ADDRESS, letter.job, letter.person) or plain
    box = desk.box
    if box is None or not box.address:
        return plain
    return (box.plus_proved_at and signed(box.address, letter.job, letter.person)) or box.address


def signed(mailbox: str, job: Job, person: Customer) -> str:
    """The mailbox's address for this job and person; "" where the mailbox's name leaves no room for it."""
    return _with(mailbox, job.ref.lower(), _signature(_named(job, person), settings.SECRET_KEY))


def proof(mailbox: str) -> str:
    """An address of the same form that is about no job: a letter to it shows that such addresses arrive."""
    return _with(mailbox, PROOF, _signature(_proving(mailbox), settings.SECRET_KEY))


def whose(address: str) -> tuple[Job, Customer] | None:
    """The job and the person of an address that we signed; None for any other, for an unknown job, and for one that is void."""
    found = SIGNED.match(address.strip())
    if found is None:
        return None
    try:
        job = Job.objects.with_people().filter(ref=refs.tidy(found["about"])).first()
    except refs.BadRef:
        return None
    if job is None or not _is_ours(found["signature"], _named(job, job.customer)):
        return None
    return job, job.customer


def looks_signed(address: str) -> bool:
    """Whether it has the form of an address of ours, whoever signed it."""
    return SIGNED.match(address.strip()) is not None


def is_proof(address: str, mailbox: str) -> bool:
    found = SIGNED.match(address.strip())
    return (
        found is not None
        and found["about"].lower() == PROOF
        and _is_ours(found["signature"], _proving(mailbox))
    )


def _with(mailbox: str, about: str, signature: str) -> str:
    user, _at, domain = mailbox.rpartition("@")
    local = f"{user}+{about}.{signature}"
    return f"{local}@{domain}" if len(local.encode()) <= LONGEST_LOCAL_PART else ""


def _named(job: Job, person: Customer) -> str:
    return f"{job.pk}:{job.ref}:{person.pk}:{person.email.lower()}"


def _proving(mailbox: str) -> str:
    return f"proof:{mailbox.lower()}"


def _signature(text: str, key: str | bytes) -> str:
    digest = salted_hmac(SALT, text, secret=key, algorithm="sha256").digest()[:SIGNATURE_BYTES]
    return base64.b32encode(digest).decode().lower()


def _is_ours(signature: str, text: str) -> bool:
    """Compared in constant time with what each of our keys would have signed."""
    same = [constant_time_compare(signature.lower(), one) for one in _signatures(text)]
    return any(same)


def _signatures(text: str) -> Iterator[str]:
    for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS):
        yield _signature(text, key)
