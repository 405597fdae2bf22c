"""Sends one letter, at least once and seldom twice.

A worker claims the letter by one conditional UPDATE; the row says *sending* before a word is spoken to the mail server, and
notes when the content begins to leave. So whatever is killed, and whenever, the row tells what may have happened:

- nothing had left: safe, it waits again;
- it had left and no answer came: *perhaps sent*, tried once more after a while with the same Message-ID (mail programs that see
  both keep one), and after that only by hand.
"""

import logging
import random
from datetime import datetime, timedelta
from uuid import uuid4

from django.conf import settings
from django.db.models import F, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from notifications.channels import CHANNELS, Undelivered
from notifications.models import Letter
from notifications.plan import plan_of, why_not

log = logging.getLogger(__name__)

State = Letter.State

FIRST_WAIT = timedelta(minutes=1)
LONGEST_WAIT = timedelta(hours=4)
MOST_ATTEMPTS = 30  # about four and a half days, as RFC 5321 section 4.5.4.1 advises
DOUBT_WAIT = timedelta(minutes=5)
MOST_DOUBTS = 2
AWAKE_FOR = timedelta(seconds=60)  # so long a worker that was told about a letter has to take it


def deliver(letter_id: int) -> str:
    """Send a letter if it is due and nobody else has it. Returns the state it is left in, or "" when there was nothing to do."""
    letter = claim(letter_id)
    if letter is None:
        return ""
    if reason := _no_longer_wanted(letter):
        return _end(letter, State.SKIPPED, why=reason)
    try:
        CHANNELS[letter.channel]().send(letter, lambda: _note_handing(letter))
    except Undelivered as error:
        return _undelivered(letter, error)
    except ValueError as error:  # an address that cannot stand in a header
        return _end(letter, State.FAILED, last_error=f"{error}"[:400])
    except Exception as error:  # our own mistake, or the task's time is up: no letter stays in mid-air for it
        log.exception("letter %s could not be sent", letter.pk)
        return _interrupted(letter, f"{type(error).__name__}: {error}")
    return _end(letter, State.SENT, sent_at=timezone.now(), last_error="")


def claim(letter_id: int, now: datetime | None = None) -> Letter | None:
    """Take a due letter. Of two workers that try at once, exactly one changes the row and gets it."""
    token = uuid4()
    moment = now or timezone.now()
    taken = (
        Letter.objects.owed(moment)
        .filter(pk=letter_id)
        .update(
            state=State.SENDING,
            attempts=F("attempts") + 1,
            lease_token=token,
            lease_until=moment + lease(),
            handed_at=None,
        )
    )
    if not taken:
        return None
    return Letter.objects.select_related("entry", "job__item", "job__customer", "person").get(pk=letter_id)


def lease() -> timedelta:
    """Longer than any task may live: when it has run out, the worker is gone."""
    return timedelta(seconds=settings.CELERY_TASK_TIME_LIMIT + 10)


def free_the_stranded() -> int:
    """Give up the claims of workers that were killed. Returns how many letters were found."""
    stranded = list(Letter.objects.stranded().defer("text", "html"))
    for letter in stranded:
        _interrupted(letter, _("The worker was stopped while it sent this letter."))
    return len(stranded)


def to_wake(limit: int = 200) -> list[int]:
    """Due letters that no worker was told about lately: after an hour without a broker, all of them; in a backlog, none twice."""
    now = timezone.now()
    lately = Letter.objects.filter(woken_at__gt=now - AWAKE_FOR)
    owed = Letter.objects.owed(now).exclude(pk__in=lately.values("pk"))
    return list(owed.order_by("next_attempt_at", "pk").values_list("pk", flat=True)[:limit])


def backoff(attempts: int) -> timedelta:
    """1, 2, 4, ... minutes up to 4 hours, a quarter more or less, so that a backlog does not come back in step."""
    wait = min(FIRST_WAIT * int(2 ** min(attempts - 1, 12)), LONGEST_WAIT)
    return timedelta(seconds=wait.total_seconds() * random.uniform(0.75, 1.25))  # noqa: S311 - nothing secret


def _no_longer_wanted(letter: Letter) -> str:
    """A letter about a quote that was answered while the mail server was away would only confuse."""
    if letter.by_hand:
        return ""
    letter.entry.job = letter.job
    try:
        return why_not(plan_of(letter), letter.entry)
    except KeyError:
        return ""


def _note_handing(letter: Letter) -> None:
    letter.handed_at = timezone.now()
    _mine(letter).update(handed_at=letter.handed_at)


def _interrupted(letter: Letter, why: str) -> str:
    """What may have happened stands in the row. The first time it goes on at once; a letter that stops every worker is given up."""
    return _undelivered(
        letter, Undelivered(why, ambiguous=letter.handed_at is not None), at_once=letter.attempts <= 1
    )


def _undelivered(letter: Letter, error: Undelivered, at_once: bool = False) -> str:
    if error.ambiguous:
        return _doubt(letter, error.reason)
    if error.permanent:
        return _end(letter, State.FAILED, last_error=error.reason[:400])
    if letter.attempts >= MOST_ATTEMPTS:
        return _end(letter, State.FAILED, last_error=_("Given up after many tries: %s") % error.reason[:300])
    wait = timedelta(0) if at_once else backoff(letter.attempts)
    return _end(letter, State.WAITING, last_error=error.reason[:400], next_attempt_at=timezone.now() + wait)


def _doubt(letter: Letter, error: str) -> str:
    """It may have arrived. Once more after a while; the second time a person decides."""
    doubts = letter.doubts + 1
    again = timezone.now() + DOUBT_WAIT if doubts < MOST_DOUBTS else None
    return _end(letter, State.AMBIGUOUS, last_error=error[:400], doubts=doubts, next_attempt_at=again)


def _end(letter: Letter, state: State, **changes: object) -> str:
    """Give the claim back with what came of it, unless somebody took it over meanwhile."""
    fields = {"next_attempt_at": None, **changes, "state": state, "lease_token": None, "lease_until": None}
    _mine(letter).update(**fields, woken_at=None)
    return str(state)


def _mine(letter: Letter) -> QuerySet[Letter]:
    return Letter.objects.filter(pk=letter.pk, state=State.SENDING, lease_token=letter.lease_token)
