"""How to begin a telephone call about something owed: two or three sentences to say, made from what is known and nothing more.

Who is calling and about which camera; the one finding that matters, and how sure it is; what is asked. Nobody is told that we saw them
read, nobody is blamed, nothing is urged, and a letter that may not have come is no fault of theirs.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext

from jobs.models import Finding
from jobs.models.finding import EFFECT_ORDER
from jobs.words import Bearing, Certainty, Owes
from portal.templatetags.look import day_filter

# What explains their story matters most to them; what they may have done themselves is for the page, where it stands in full.
WEIGHT = (Bearing.EXPLAINS, Bearing.EARLIER, Bearing.SEPARATE, Bearing.USE, Bearing.CLEARS)
HOW_SURE: dict[str, Promise] = {
    Certainty.SEEN: gettext_lazy("We saw that ourselves."),
    Certainty.MEASURED: gettext_lazy("We measured that."),
    Certainty.INFERRED: gettext_lazy("It fits what we see, but nobody saw it happen."),
    Certainty.UNTRIED: gettext_lazy("More than that nobody can know until it is tried."),
}


@dataclass(frozen=True)
class Call:
    """What is known when somebody picks up the telephone. Sums are in words; "" and None for what there is not.

    `due`: what is to be paid now. `reached`: their page was opened since it was asked.
    """

    caller: str
    workshop: str
    item: str
    about: Owes
    asked_on: date
    finding: Finding | None = None
    offered: str = ""
    question: str = ""
    last_day: date | None = None
    due: str = ""
    hours: str = ""
    reached: bool = False


def opening(call: Call) -> list[str]:
    """The sentences, one after the other."""
    return [sentence for sentence in [_who(call), *_found(call), *ASKED[call.about](call)] if sentence]


def that_matters(findings: Iterable[Finding]) -> Finding | None:
    """Of the findings that stand the one to speak of: what explains the story, then the worst. None that rules something out."""
    told = [each for each in findings if each.certainty != Certainty.RULED_OUT]
    return min(told, key=_weight, default=None)


def _weight(finding: Finding) -> tuple[int, int, int]:
    return WEIGHT.index(Bearing(finding.bearing)), EFFECT_ORDER.index(finding.effect), finding.pk


def _who(call: Call) -> str:
    return _("Hello, this is %(caller)s from %(workshop)s, about your %(item)s.") % {
        "caller": call.caller,
        "workshop": call.workshop,
        "item": call.item,
    }


def _found(call: Call) -> list[str]:
    """Where something is to be decided, what it rests on; who only pays or fetches knows it by now."""
    if call.finding is None or call.about not in (Owes.QUOTE, Owes.QUESTION):
        return []
    found = _("What we found: %(found)s") % {"found": _ended(in_plain_words(call.finding))}
    return [found, str(HOW_SURE.get(call.finding.certainty, ""))]


def in_plain_words(finding: Finding) -> str:
    """The short sentence of its explanation where it has one: its title may be a question."""
    return str(finding.shown.get("short") or finding.title).strip()


def _quote(call: Call) -> list[str]:
    words = {"day": day_filter(call.asked_on), "sum": call.offered, "last": day_filter(call.last_day)}
    if call.offered and call.last_day:
        sent = _("Our quote of %(day)s is for %(sum)s and good until %(last)s.") % words
    elif call.offered:
        sent = _("Our quote of %(day)s is for %(sum)s.") % words
    else:
        sent = _("We sent you a quote on %(day)s.") % words
    return [sent, _if_it_came(call), _("What do you think of it? A no is fine too.")]


def _question(call: Call) -> list[str]:
    asked = (
        _("On %(day)s we asked you: “%(question)s”")
        if call.question
        else _("On %(day)s we asked you something about it.")
    )
    told = asked % {"day": day_filter(call.asked_on), "question": call.question}
    return [told, _if_it_came(call), _("Could you tell me?")]


def _payment(call: Call) -> list[str]:
    open_sum = (
        _("We have not seen %(sum)s arrive yet.") % {"sum": call.due}
        if call.due
        else _("We have not seen the payment arrive yet.")
    )
    return [open_sum, _("If it is on its way, all is well."), _if_it_came(call)]


def _collection(call: Call) -> list[str]:
    hours = _("We are here %(hours)s.") % {"hours": _in_line(call.hours)} if call.hours else ""
    due = _("%(sum)s is to be paid when you come.") % {"sum": call.due} if call.due else ""
    return [_("It is here for you to collect."), hours, due, _("When would suit you?")]


ASKED = {
    Owes.QUOTE: _quote,
    Owes.QUESTION: _question,
    Owes.PAYMENT: _payment,
    Owes.COLLECTION: _collection,
}


def _if_it_came(call: Call) -> str:
    return (
        "" if call.reached else pgettext("on the telephone", "I do not know whether our letter reached you.")
    )


def _ended(title: str) -> str:
    return title if title.endswith((".", "!", "?")) else f"{title}."


def _in_line(words: str) -> str:
    """Opening hours as typed, on one line, without the full stop that our sentence brings along."""
    return " ".join(words.split()).rstrip(".")
