"""What somebody in the office can do about a letter that did not get through, in plain words.

By what the last try said. Codes are those of RFC 5321 section 4.2.3 and RFC 3463 section 3; which words other servers use is from
memory, no source.
"""

import re

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.words import Way
from notifications import short_remedies
from notifications.models import Letter

State, Trouble = Letter.State, Letter.Trouble

# What the last try said -> what to do. In order: the first that fits is told.
_FOR_GOOD: list[tuple[re.Pattern[str], Promise]] = [
    (
        re.compile(r"\b5\.1\.\d+\b|no such|unknown user|user unknown|nobody of that name|no mailbox", re.I),
        _("The address does not work. Ring them, correct it, and send the letter again."),
    ),
    (
        re.compile(r"\b[45]\.2\.2\b|mailbox (is )?full|over quota", re.I),
        _("Their mailbox is full. Ring them; when they have made room, send the letter again."),
    ),
    (
        re.compile(r"\b5\.3\.4\b|too (big|large)|size", re.I),
        _("The letter is too large for their mailbox. Ring them: all that it says stands on their page too."),
    ),
    (
        re.compile(r"\b5\.7\.\d+\b|spam|blocked|blacklist|policy|denied", re.I),
        _(
            "Their mail server does not want letters from ours. Ring them, and ask your mail provider whether your letters "
            "are signed (SPF, DKIM)."
        ),
    ),
    (
        re.compile(r"^55[0135]\b"),
        _("Their mail server does not take letters for this address. Ring them, and check the address."),
    ),
]
_FOR_NOW: list[tuple[re.Pattern[str], Promise]] = [
    (
        re.compile(r"^53[0458]\b|password|authentication", re.I),
        _("Our mailbox does not let us in. Check its user name and password in the settings."),
    ),
    (
        re.compile(r"refused|gaierror|timed? ?out|unreachable|disconnected|ssl|certificate", re.I),
        _(
            "Our mail server does not answer as it should. Check the mailbox in the settings with a test letter."
        ),
    ),
]
_GOES_BY_ITSELF = _("It goes by itself as soon as it can. If it is urgent, ring them.")
_SLOWER = _(
    "The other side asked us to send less at a time. It goes by itself; if that lasts for a day, ask your provider what it allows."
)
_TOO_SLOW = _(
    "The other side kept asking us to wait. Ring them, and ask your provider how many letters it takes."
)
_PERHAPS_AGAIN = _(
    "It may have arrived. It goes once more by itself; most mail programs show the two as one."
)
_PERHAPS = _("It may have arrived. Ask them, or send it again: most mail programs show the two as one.")
_UNWRITTEN = _("This letter could not be written. Tell them yourself what has happened.")
_NO_WAY = _("We know of no way to reach them in writing that works. Ring them.")
_GIVEN_UP = _("Ring them. Once the cause is mended, send the letter again.")


def what_to_do(letter: Letter) -> str:
    """One or two sentences; "" where there is nothing to do."""
    if letter.channel != Way.EMAIL:
        return short_remedies.what_to_do(letter)
    if letter.state == State.AMBIGUOUS:
        return str(_PERHAPS_AGAIN if letter.next_attempt_at else _PERHAPS)
    if letter.state == State.WAITING:
        return _meanwhile(letter) if letter.trouble else ""
    if letter.state in (State.FAILED, State.RETURNED):
        return _afterwards(letter)
    return ""


def _meanwhile(letter: Letter) -> str:
    """While it is still tried."""
    if letter.trouble == Trouble.THROTTLED:
        return str(_SLOWER)
    return str(_first(_FOR_NOW, letter.last_error) or _GOES_BY_ITSELF)


def _afterwards(letter: Letter) -> str:
    if not letter.text:
        return str(_UNWRITTEN)
    if not letter.to_address:
        return str(_NO_WAY)
    if letter.trouble == Trouble.THROTTLED:
        return str(_TOO_SLOW)
    if letter.trouble == Trouble.TEMPORARY:
        return f"{_first(_FOR_NOW, letter.last_error) or ''} {_GIVEN_UP}".strip()
    return str(_first(_FOR_GOOD, letter.last_error) or _GIVEN_UP)


def _first(table: list[tuple[re.Pattern[str], Promise]], said: str) -> Promise | None:
    return next((words for pattern, words in table if pattern.search(said)), None)
