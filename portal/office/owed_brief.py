"""What is owed to us in a sentence or two, and how much the chances beside it can be trusted."""

from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.text import capfirst, get_text_list
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.answers_past import Past, past
from jobs.waiting import PRIOR_PEOPLE, median
from jobs.words import Owes
from notifications.models import Owing
from portal.office import asks
from portal.office.asks import Many
from portal.office.brief import Piece, in_figures, in_words


@dataclass(frozen=True)
class Owed:
    title: str
    pieces: list[Piece]
    chances: str


def owed(terms: bool = False) -> Owed:
    """`terms`: whether the workshop has terms for what nobody collects."""
    return Owed(_title(), [*_money(), *_to_ring(), *(_in_storage() if terms else [])], trust(past()))


def trust(known: Past) -> str:
    """Where the chances come from: our own answers, or for the most part a guess."""
    if known.waits < PRIOR_PEOPLE:
        words = ngettext(
            "The chances are for the most part a guess: only %(n)s wait of our own is counted.",
            "The chances are for the most part a guess: only %(n)s waits of our own are counted.",
            known.waits,
        )
        if not known.waits:
            words = _("The chances are a guess: no wait of our own is counted yet.")
        return words % {"n": in_words(Many(known.waits))}
    words = _("The chances come from the last %(n)s waits here.") % {"n": known.waits}
    half = median(known.curve)
    return words if half is None else f"{words} {_half(half)}"


def _half(days: int) -> str:
    if days == 0:
        return _("Half of them were answered on the same day.")
    words = ngettext(
        "Half of them were answered within %(n)s day.", "Half of them were answered within %(n)s days.", days
    )
    return words % {"n": days}


def _title() -> str:
    quotes, questions = _many(Owes.QUOTE), _many(Owes.QUESTION)
    both = quotes.n + questions.n
    answers = Many(min(both, asks.COUNTED - 1), quotes.is_more or questions.is_more or both >= asks.COUNTED)
    payments, collections = _many(Owes.PAYMENT), _many(Owes.COLLECTION)
    told = [
        ngettext("%(n)s answer", "%(n)s answers", answers.n) % {"n": in_words(answers)} if answers.n else "",
        ngettext("%(n)s payment", "%(n)s payments", payments.n) % {"n": in_words(payments)}
        if payments.n
        else "",
        ngettext("%(n)s collection", "%(n)s collections", collections.n) % {"n": in_words(collections)}
        if collections.n
        else "",
    ]
    things = get_text_list([words for words in told if words], _("and"))
    if not things:
        return _("Nobody owes us anything.")
    words = ngettext(
        "%(things)s is owed to us.", "%(things)s are owed to us.", answers.n + payments.n + collections.n
    )
    return capfirst(words % {"things": things})


def _many(about: Owes) -> Many:
    return asks.count(Owing.objects.filter(about=about))


def _money() -> list[Piece]:
    """The largest sums, added up; what else there is stays a "more than"."""
    largest: QuerySet[Owing] = Owing.objects.filter(money__gt=0).order_by("-money", "pk")
    found = list(largest.values_list("currency", "money")[: asks.SUMS_ADDED + 1])
    if not found:
        return []
    sums: dict[str, int] = {}
    for currency, minor in found[: asks.SUMS_ADDED]:
        sums[currency] = sums.get(currency, 0) + minor
    words = (
        _("More than [%(sum)s] hangs on it.") if len(found) > asks.SUMS_ADDED else _("[%(sum)s] hangs on it.")
    )
    return [Piece(words % {"sum": in_figures(sorted(sums.items()))}, "?order=money")]


def _to_ring() -> list[Piece]:
    many = asks.count(Owing.objects.filter(state=Owing.State.CALL))
    if not many.n:
        return []
    words = ngettext("[%(n)s] is for the telephone.", "[%(n)s] are for the telephone.", many.n)
    return [Piece(words % {"n": capfirst(in_words(many))}, "?state=call")]


def _in_storage() -> list[Piece]:
    many = asks.count(Owing.objects.past_free_storage(timezone.localdate()))
    if not many.n:
        return []
    words = ngettext(
        "[%(n)s] is in storage by your own terms.", "[%(n)s] are in storage by your own terms.", many.n
    )
    return [Piece(words % {"n": capfirst(in_words(many))}, "?state=stored")]
