"""What a customer reads as the answer to "is this covered?": one sentence, and what it rests on. Everyday words, short."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from jobs.covering import Reason, Ruling


def sentence(ruling: Ruling, today: date) -> str:
    """The answer. Yes and no name their day; a look says why."""
    if ruling.reason == Reason.COVERED and ruling.day:
        return _("Yes. It is covered until %(day)s.") % {"day": _day(ruling.day, today)}
    if ruling.reason == Reason.ENDED and ruling.day:
        return _("Not any more. That cover ended on %(day)s.") % {"day": _day(ruling.day, today)}
    if ruling.reason == Reason.NAMED:
        return _("No. We named that as not covered.")
    we_have_to = _("We have to look.")
    return f"{we_have_to} {_why_look()[ruling.reason]}"


def rests_on(ruling: Ruling) -> str:
    """What of the warranty the answer rests on, or "" where it rests on none of it."""
    promise = ruling.promise
    if promise is None:
        return ""
    if ruling.reason in (Reason.NAMED, Reason.TOLD):
        return f"{_full_stop(promise.what)} {promise.why_not}".strip()
    if ruling.reason == Reason.COVERED:
        return _("It sounds like this: %(what)s") % {"what": _full_stop(promise.what)}
    if ruling.reason == Reason.ENDED:
        return _("It was for this: %(what)s") % {"what": _full_stop(promise.what)}
    return _("What we did there: %(what)s") % {"what": _full_stop(promise.what)} if promise.until else ""


def _why_look() -> dict[Reason, str]:
    return {
        Reason.FELL: _("A fall is not covered, our work is."),
        Reason.WET: _("Water, salt and sand are not covered, our work is."),
        Reason.OPENED: _("Work by somebody else is not covered, ours is."),
        Reason.HEAT: _("Heat is not covered, our work is."),
        Reason.ACCIDENT: _("An accident is not covered, our work is."),
        Reason.NOTHING_FITS: _("We cannot tell from these words."),
        Reason.UNSURE: _("It could be more than one thing."),
        Reason.IN_USE: _("Perhaps nothing is broken."),
        Reason.ELSEWHERE: _("That does not sound like something we worked on."),
        Reason.ANOTHER_FAULT: _("We worked on that part, but this may be something else."),
        Reason.MIXED: _("Some of that is covered, and some is not."),
        Reason.TOLD: _("It may be what we named as not covered."),
    }


def _full_stop(text: str) -> str:
    return f"{text.rstrip('.')}."


def _day(day: date, today: date) -> str:
    """The year is said where it is another one. No line ends between the day and its month."""
    words = pgettext("date in a sentence, another year", "j F Y")
    if day.year == today.year:
        words = pgettext("date in a sentence, this year", "j F")
    return date_format(day, words).replace(" ", "\u00a0", 1)
