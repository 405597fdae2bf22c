"""The state of the house in two sentences, and what needs a hand."""

from dataclasses import dataclass
from datetime import date

from django.contrib.humanize.templatetags.humanize import apnumber
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import money
from jobs.models import Photo
from notifications.mailbox import reaches_people
from notifications.models import Incoming, Letter, ReplyBox
from portal import health
from portal.office import asks
from portal.office.asks import Many, Owed
from portal.office.money import sums_to_pay


@dataclass(frozen=True)
class Piece:
    """One sentence, and the address that the words between its square brackets lead to."""

    words: str
    to: str = ""

    def parts(self) -> tuple[str, str, str]:
        """What stands before the link, in it and after it."""
        before, _open, rest = self.words.partition("[")
        inside, _close, after = rest.partition("]")
        return before, inside, after


@dataclass(frozen=True)
class Brief:
    title: Piece
    pieces: list[Piece]
    troubles: list[Piece]


def brief(today: date) -> Brief:
    owed = asks.owed()
    return Brief(
        _title(owed.many), [*_oldest(owed), *_promises(today), *_waiting(), *_unearned()], troubles()
    )


def troubles() -> list[Piece]:
    """What went wrong without anybody noticing: letters, photographs, workers."""
    return [*_mailbox(), *_letters(), *_came_in(), *_photos(), *_workers()]


def in_words(many: Many) -> str:
    """two, 11, more than 99"""
    if many.is_more:
        return _("more than %(n)s") % {"n": many.n}
    return str(apnumber(many.n))


def _title(owed: Many) -> Piece:
    if owed.n == 0:
        return Piece(_("Nobody owes us an answer."))
    words = ngettext("[%(n)s answer] is owed to us.", "[%(n)s answers] are owed to us.", owed.n)
    return Piece(words % {"n": capfirst(in_words(owed))}, reverse("office_owed"))


def _oldest(owed: Owed) -> list[Piece]:
    if owed.oldest is None:
        return []
    if owed.days == 0:
        return [Piece(_("All since today."))]
    words = ngettext("The oldest has waited [%(n)s day].", "The oldest has waited [%(n)s days].", owed.days)
    return [Piece(words % {"n": owed.days}, reverse("office_job", args=[owed.oldest.shown_ref]))]


def _promises(today: date) -> list[Piece]:
    at_risk, passed = asks.promises(today)
    pieces = []
    if at_risk.n:
        words = ngettext("[%(n)s promise] is at risk.", "[%(n)s promises] are at risk.", at_risk.n)
        pieces.append(Piece(words % {"n": capfirst(in_words(at_risk))}, "?show=promises"))
    if passed.n:
        words = ngettext("[%(n)s promise] has passed.", "[%(n)s promises] have passed.", passed.n)
        pieces.append(Piece(words % {"n": capfirst(in_words(passed))}, "?show=promises"))
    return pieces or [Piece(_("Every promise can be kept."), "?show=promises")]


def _waiting() -> list[Piece]:
    sums = sums_to_pay()
    if not sums:
        return []
    return [Piece(_("[%(sum)s] is to be paid now.") % {"sum": in_figures(sums)}, "?show=money")]


def in_figures(sums: list[tuple[str, int]]) -> str:
    return _(" and ").join(money.show(minor, currency) for currency, minor in sums)


def _unearned() -> list[Piece]:
    earning = asks.unearned()
    if not earning.sums:
        return [Piece(_("Nothing is agreed and not yet earned."))]
    words = (
        _("More than [%(sum)s] is agreed and not yet earned.")
        if earning.is_more
        else _("[%(sum)s] is agreed and not yet earned.")
    )
    return [Piece(words % {"sum": in_figures(earning.sums)}, "?show=money")]


def _mailbox() -> list[Piece]:
    if reaches_people():
        return []
    words = _("There is no mailbox yet: letters stay on this machine and reach nobody. [Give it one].")
    return [Piece(words, reverse("office_settings"))]


def _letters() -> list[Piece]:
    troubled = asks.count(Letter.objects.troubled())
    if not troubled.n:
        return []
    words = ngettext(
        "[%(n)s letter] did not get through.", "[%(n)s letters] did not get through.", troubled.n
    )
    return [Piece(words % {"n": capfirst(in_words(troubled))}, reverse("office_letters") + "?show=trouble")]


def _came_in() -> list[Piece]:
    """Answers that fit no job, and a reply box that cannot be read."""
    pieces = []
    aside = asks.count(Incoming.objects.filter(state=Incoming.State.ASIDE))
    if aside.n:
        words = ngettext("[%(n)s letter to us] fits no job.", "[%(n)s letters to us] fit no job.", aside.n)
        pieces.append(Piece(words % {"n": capfirst(in_words(aside))}, reverse("office_incoming")))
    box = ReplyBox.objects.current()
    if box and box.trouble:
        pieces.append(Piece(_("[The reply box] cannot be read."), reverse("office_reply_box")))
    return pieces


def _photos() -> list[Piece]:
    failed = list(Photo.objects.filter(state=Photo.State.FAILED, job__isnull=False).select_related("job")[:5])
    return [
        Piece(
            _("[A photograph of %(ref)s] could not be read.") % {"ref": photo.job.shown_ref},
            reverse("bench_photos", args=[photo.job.ref]),
        )
        for photo in failed
        if photo.job
    ]


def _workers() -> list[Piece]:
    """Beat, broker and worker together: a queue that carried nothing for a while."""
    silent = health.SILENT_AFTER.total_seconds()
    ages = health.pulses(timezone.now()).values()
    if all(age is not None and age <= silent for age in ages):
        return []
    return [
        Piece(
            _(
                "The background work stands still: no letter goes out, no photograph is made ready. Start Benchletter again."
            )
        )
    ]
