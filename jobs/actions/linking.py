"""Private links: made, opened, revoked. The key itself is never stored."""

import hashlib
import re
import secrets
from datetime import timedelta

from django.db.models import F
from django.utils import timezone

from jobs import journal
from jobs.actions.moving import changing
from jobs.actor import Actor
from jobs.models import Job, Kind, Opening, PrivateLink

# The prefix lets log filters and secret scanners know a key when they see one.
KEY_PREFIX = "j_"
KEY_BYTES = 32
KEY_IN_WORDS = re.compile(
    KEY_PREFIX + r"[\w-]{8,}"
)  # also the beginning of one, where somebody repeats what we said
LIVES_DAYS = 180


def issue_link(job: Job, made_for: str = "", days: int = LIVES_DAYS) -> str:
    """Make a private link for `job` and return its key: the only time that it can be seen."""
    key = new_key()
    keep_link(job, key, made_for, days)
    return key


def new_key() -> str:
    """A key that opens nothing yet: 256 bits, base64url."""
    return KEY_PREFIX + secrets.token_urlsafe(KEY_BYTES)


def keep_link(job: Job, key: str, made_for: str = "", days: int = LIVES_DAYS) -> None:
    """Let `key` open `job` from now on."""
    PrivateLink.objects.create(
        job=job, key_hash=hash_key(key), made_for=made_for, expires_at=timezone.now() + timedelta(days=days)
    )


def find_link(key: str) -> PrivateLink | None:
    """The link of a key, dead or alive. The look-up by hash takes the same time whatever the key is."""
    return PrivateLink.objects.select_related("job").filter(key_hash=hash_key(key)).first()


def note_opening(link: PrivateLink, device: str) -> None:
    """Note that a device came in by a link. Not journalled: a scanner may open links too, and nothing hangs on it."""
    now = timezone.now()
    Opening.objects.update_or_create(
        link=link, device=device, defaults={"last_at": now}, create_defaults={"first_at": now, "last_at": now}
    )


def note_reading(job: Job) -> None:
    """Note that the customer's page was read, at most once a minute at one stage. No entry: nothing hangs on it.

    By stage, or a quote that is sent just after a visit would count as unread at the next one.
    """
    now = timezone.now()
    just_noted = {"opened_at__gt": now - timedelta(minutes=1), "opened_at__gte": F("stage_since")}
    stale = Job.objects.filter(pk=job.pk).exclude(**just_noted)
    stale.update(opened_at=now)


def revoke_links(job: Job, keep: PrivateLink | None = None) -> int:
    """Make every link of a job dead but `keep`. Returns how many died."""
    live = PrivateLink.objects.live().filter(job=job)
    if keep:
        live = live.exclude(pk=keep.pk)
    return live.update(revoked_at=timezone.now())


def take_back_link(key: str) -> None:
    """Forget a link whose key was handed to nobody, because the message with it never left the house."""
    PrivateLink.objects.filter(key_hash=hash_key(key), openings__isnull=True).delete()


def ask_for_link(job: Job, by: Actor) -> None:
    """Somebody asked for a new link: the journal says so, and the letter with it goes to the address on file only."""
    with changing(job) as fresh:
        journal.append(fresh, Kind.LINK_ASKED, by)


def hash_key(key: str) -> str:
    """SHA-256 of a key, in hex."""
    return hashlib.sha256(key.encode()).hexdigest()
