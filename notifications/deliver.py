"""Sends letters, at least once and seldom twice.

A worker claims a letter (notifications.claiming); the row says *sending* before a word is spoken to the mail server, and notes when
the content begins to leave. So whatever is killed, and whenever, the row tells what may have happened:

- nothing had left: safe, it waits again;
- it had left and no answer came: *perhaps sent*, tried once more after a while with the same Message-ID (mail programs that see
  both keep one), and after that only by hand.
"""

import logging
from contextlib import ExitStack, closing
from datetime import datetime, timedelta
from time import monotonic

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.moving import changing
from notifications import claiming, gathering, readdressing, returned, waits
from notifications.channels import CHANNELS, Channel, Undelivered
from notifications.channels.base import Trouble
from notifications.models import Letter
from notifications.plan import plan_of, why_not

log = logging.getLogger(__name__)

State = Letter.State

MOST_ATTEMPTS = 30  # about four and a half days, as RFC 5321 section 4.5.4.1 advises
MOST_DOUBTS = 2
ROUND_SECONDS = 2.0  # after so long a worker turns to what else is waiting


class Ways(ExitStack):
    """The channels of one round of letters: each is opened for its first letter and closed when the round is over."""

    def __init__(self) -> None:
        super().__init__()
        self._open: dict[str, Channel] = {}
        self.one_is_shut = False  # nobody should use it for a little

    def to(self, letter: Letter) -> Channel:
        if letter.channel not in self._open:
            self._open[letter.channel] = self.enter_context(closing(CHANNELS[letter.channel]()))
        return self._open[letter.channel]


def deliver(letter_id: int) -> str:
    """Send a letter if it is due and nobody else has it. Returns the state it is left in, or "" when there was nothing to do."""
    letter = claiming.claim(letter_id)
    if letter is None:
        return ""
    with Ways() as ways:
        return _send(letter, ways)


def deliver_due(first: int | None = None, seconds: float = ROUND_SECONDS) -> int | None:
    """Send what is due, the letter `first` before all others, for about so many seconds.

    Returns a letter that is still due when the time is up, or None.
    """
    until = monotonic() + seconds
    with Ways() as ways:
        while letters := claiming.claim_some(first):
            if left := _send_some(letters, ways, until):
                return left
            first = None
    return None


def free_the_stranded() -> int:
    """Give up the claims of workers that were killed. Returns how many letters were found."""
    stranded = list(Letter.objects.stranded().defer("text", "html"))
    for letter in stranded:
        _interrupted(letter, _("The worker was stopped while it sent this letter."))
    return len(stranded)


def _send_some(letters: list[Letter], ways: Ways, until: float) -> int | None:
    """Send claimed letters, and give back the rest when the time is up or a way is shut. Answers one that is still due."""
    for place, letter in enumerate(letters):
        time_is_up = monotonic() > until
        if time_is_up or ways.one_is_shut:
            claiming.give_back(letters[place:])
            ways.one_is_shut = False
            return letter.pk if time_is_up else None
        _send(letter, ways)
    return None


def _send(letter: Letter, ways: Ways) -> str:
    """Send a claimed letter and note what came of it. Raises nothing but what ends the process."""
    try:
        if not gathering.gather(letter):
            return ""
        if reason := _no_longer_wanted(letter) or readdressing.why_nowhere(letter):
            return _skip(letter, reason)
        if at := readdressing.opens(letter):
            return _put_off(letter, at)
        ways.to(letter).send(letter, lambda: _note_handing(letter))
    except Undelivered as error:
        ways.one_is_shut = waits.rest(letter.channel, error)
        return _undelivered(letter, error)
    except ValueError as error:  # an address that cannot stand in a header
        return _undelivered(letter, Undelivered(f"{error}", Trouble.PERMANENT))
    except Exception as error:  # our own mistake, or the task's time is up: no letter stays in mid-air for it
        log.exception("letter %s could not be sent", letter.pk)
        return _interrupted(letter, f"{type(error).__name__}: {error}")
    return _end(letter, State.SENT, sent_at=timezone.now(), last_error="", trouble="")


def _no_longer_wanted(letter: Letter) -> str:
    """A letter about a quote that was answered while the mail server was away would only confuse."""
    if letter.by_hand or gathering.may_have_gone_with_others(letter):
        return ""
    letter.entry.job = letter.job
    try:
        return why_not(plan_of(letter), letter.entry)
    except KeyError:
        return ""


def _skip(letter: Letter, reason: str) -> str:
    """It does not go, and in the same stroke what it carried goes without it."""
    with changing(letter.job):
        if claiming.mine(letter).exists():
            gathering.let_go(letter)
            _end(letter, State.SKIPPED, why=reason)
    return str(State.SKIPPED)


def _put_off(letter: Letter, until: datetime) -> str:
    """Its turn came at night. That was no try."""
    state = State.AMBIGUOUS if letter.doubts else State.WAITING
    return _end(letter, state, next_attempt_at=until, attempts=letter.attempts - 1)


def _note_handing(letter: Letter) -> None:
    letter.handed_at = timezone.now()
    if not claiming.note(letter, {"handed_at": letter.handed_at}, readdressing.still_holds(letter)):
        raise Undelivered("Somebody else has this letter by now, or its address has been changed.")


def _interrupted(letter: Letter, why: str) -> str:
    """What may have happened stands in the row. The first time it goes on at once; a letter that stops every worker is given up."""
    kind = Trouble.AMBIGUOUS if letter.handed_at else Trouble.TEMPORARY
    return _undelivered(letter, Undelivered(why, kind), at_once=letter.attempts <= 1)


def _undelivered(letter: Letter, error: Undelivered, at_once: bool = False) -> str:
    if error.ambiguous:
        return _doubt(letter, error)
    if error.permanent:
        return _fail(letter, error, error.reason)
    if letter.attempts >= MOST_ATTEMPTS:
        return _fail(letter, error, _("Given up after many tries: %s") % error.reason[:300])
    wait = timedelta(0) if at_once else waits.wait_for(error, letter.attempts)
    return _trouble(letter, State.WAITING, error, next_attempt_at=timezone.now() + wait)


def _doubt(letter: Letter, error: Undelivered) -> str:
    """It may have arrived. Once more after a while; the second time a person decides."""
    doubts = letter.doubts + 1
    again = timezone.now() + waits.wait_for(error, 1) if doubts < MOST_DOUBTS else None
    return _trouble(letter, State.AMBIGUOUS, error, doubts=doubts, next_attempt_at=again)


def _fail(letter: Letter, error: Undelivered, reason: str) -> str:
    """Give it up. What follows for its address and by which way it goes next is noted in the same transaction: no crash comes between."""
    changes = {"last_error": reason[:400]}
    try:
        with changing(letter.job):
            if claiming.mine(letter).exists():
                _trouble(letter, State.FAILED, error, **changes)
                returned.could_not_go(letter, error)
    except Exception:  # then it has at least failed, and the office sees it
        log.exception("nothing could be done for letter %s, which failed", letter.pk)
        _trouble(letter, State.FAILED, error, **changes)
    return str(State.FAILED)


def _trouble(letter: Letter, state: State, error: Undelivered, **changes: object) -> str:
    return _end(letter, state, **{"last_error": error.reason[:400], "trouble": error.kind} | changes)


def _end(letter: Letter, state: State, **changes: object) -> str:
    """Give the claim back with what came of it, unless somebody took it over meanwhile."""
    free = {"lease_token": None, "lease_until": None, "woken_at": None}
    claiming.note(letter, {"next_attempt_at": None, **changes, "state": state, **free})
    return str(state)
