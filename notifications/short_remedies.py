"""What somebody in the office can do about a text message or a notice that did not get through, in plain words."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.words import Way
from notifications.models import Letter

Trouble = Letter.Trouble

PERHAPS = _("It may have arrived. The letter about the same says it as well; ring them if it is urgent.")
NOTICE = _("A notice is only extra: the letter about the same says it too. There is nothing to do.")
BY_ITSELF = _("It goes by itself as soon as it can. If it is urgent, ring them.")
SLOWER = _(
    "It goes by itself when there is room again: the gateway asked for less, or your own limit of a day is reached."
)
SETTINGS = _("Try the gateway in the settings with a test message.")
NUMBER = _("Ring them, and check the number for text messages with them.")


def what_to_do(letter: Letter) -> str:
    """One or two sentences; "" where there is nothing to do."""
    if not letter.trouble:
        return ""
    return str(NOTICE if letter.channel == Way.PUSH else _about_a_text(letter))


def _about_a_text(letter: Letter) -> Promise:
    if letter.trouble == Trouble.AMBIGUOUS:
        return PERHAPS
    if letter.trouble == Trouble.PERMANENT:
        return NUMBER
    if letter.trouble == Trouble.THROTTLED:
        return SLOWER
    return SETTINGS if letter.attempts > 2 else BY_ITSELF
