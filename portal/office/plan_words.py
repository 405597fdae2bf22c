"""A plan of reminders as a sentence: when the first goes, what follows, and what is left to do then."""

from collections.abc import Sequence

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from jobs.actions.chase_plans import Step
from jobs.words import Owes, Tone, Way

MESSAGES: dict[tuple[str, str], Promise] = {
    (Tone.KIND, Way.EMAIL): gettext_lazy("a kind letter"),
    (Tone.PLAIN, Way.EMAIL): gettext_lazy("a plain letter"),
    (Tone.LAST, Way.EMAIL): gettext_lazy("the last letter"),
    (Tone.KIND, Way.TEXT): gettext_lazy("a kind text message"),
    (Tone.PLAIN, Way.TEXT): gettext_lazy("a plain text message"),
    (Tone.LAST, Way.TEXT): gettext_lazy("the last text message"),
    (Tone.KIND, Way.PUSH): gettext_lazy("a kind notice"),
    (Tone.PLAIN, Way.PUSH): gettext_lazy("a plain notice"),
    (Tone.LAST, Way.PUSH): gettext_lazy("the last notice"),
}


def in_words(about: str, steps: Sequence[Step]) -> str:
    """ "2 working days after the quote went out: a kind letter. After 3 more: the last letter. Then you ring." """
    if not steps:
        return _("Nothing goes by itself. The office shows what is owed; you press, or ring.")
    said = [_first(about, steps[0]), *(_further(step) for step in steps[1:])]
    return " ".join([*said, _then(about)])


def _first(about: str, step: Step) -> str:
    n, told = step.wait, {"n": step.wait, "message": MESSAGES[step.tone, step.way]}
    words = {
        Owes.QUOTE: ngettext(
            "%(n)s working day after the quote went out: %(message)s.",
            "%(n)s working days after the quote went out: %(message)s.",
            n,
        ),
        Owes.QUESTION: ngettext(
            "%(n)s working day after you asked: %(message)s.",
            "%(n)s working days after you asked: %(message)s.",
            n,
        ),
        Owes.PAYMENT: ngettext(
            "%(n)s working day after it was asked for: %(message)s.",
            "%(n)s working days after it was asked for: %(message)s.",
            n,
        ),
        Owes.COLLECTION: ngettext(
            "%(n)s working day after it was ready: %(message)s.",
            "%(n)s working days after it was ready: %(message)s.",
            n,
        ),
    }
    return str(words[Owes(about)] % told)


def _further(step: Step) -> str:
    words = ngettext("After %(n)s more: %(message)s.", "After %(n)s more: %(message)s.", step.wait)
    return words % {"n": step.wait, "message": MESSAGES[step.tone, step.way]}


def _then(about: str) -> str:
    if about == Owes.QUOTE:
        return _("Then you ring. After its last day the quote lapses.")
    return _("Then you ring.")
