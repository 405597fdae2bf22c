"""The customer answers a quote: line by line, once, on exactly what they saw."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing, move
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.evidence import total_of
from jobs.models import Choice, Decision, Job, Kind, Line, PrivateLink, Quote, Trace
from jobs.words import Stage

TRACE_KEPT_DAYS = 400


@dataclass(frozen=True)
class Origin:
    """From where an answer came: kept beside the evidence, and erased in time."""

    address: str = ""
    agent: str = ""
    link: PrivateLink | None = None


@dataclass(frozen=True)
class Answer:
    """What was put to us: the hash of the quote as it was on their screen, the lines they want, their name as typed."""

    shown_hash: str
    yes: Collection[int]
    name: str
    sentence: str
    way: Decision.Way = Decision.Way.PAGE
    noted_by: str = ""


@dataclass(frozen=True)
class Decided:
    decision: Decision


@dataclass(frozen=True)
class Replaced:
    """The quote on their screen is not the one that stands: `now` is, or None if none waits for an answer."""

    now: Quote | None


@dataclass(frozen=True)
class Lapsed:
    quote: Quote


@dataclass(frozen=True)
class AnsweredBefore:
    decision: Decision


Outcome = Decided | Replaced | Lapsed | AnsweredBefore


def decide(quote: Quote, answer: Answer, by: Actor, origin: Origin = Origin()) -> Outcome:
    """Store the answer to `quote` and move the job: to *agreed*, or to *withdrawn* when nothing was agreed.

    Raises Refused without a name. One answer wins: everything is looked at again inside the job's lock.
    """
    if not answer.name.strip():
        raise Refused(_("Type your full name. It stands for your signature."), "name")
    with changing(quote.job) as job:
        quote.refresh_from_db()
        if not_open := _why_not_open(quote, answer):
            return not_open
        decision = _store(quote, answer)
        _trace(decision, origin)
        Quote.objects.filter(pk=quote.pk).update(state=Quote.State.ANSWERED)
        move(job, Stage.AGREED if decision.agreed_anything else Stage.WITHDRAWN)
        journal.append(job, Kind.DECIDED, by, {**_told(decision), "holder": job.holder})
        return Decided(decision)


def chosen(quote: Quote, yes: Collection[int]) -> list[Line]:
    """The lines that an answer comes to: those wanted, and what comes with the job (carriage, examination)."""
    return [line for line in quote.lines.all() if line.is_fixed or line.pk in yes]


def _why_not_open(quote: Quote, answer: Answer) -> Replaced | Lapsed | AnsweredBefore | None:
    if quote.state == Quote.State.ANSWERED:
        return AnsweredBefore(quote.decision)
    if quote.state == Quote.State.LAPSED or (quote.valid_until and quote.valid_until < timezone.localdate()):
        return Lapsed(quote)
    if quote.state != Quote.State.OPEN or quote.shown_hash != answer.shown_hash:
        return Replaced(quote.job.quotes.open().first())
    return None


def _store(quote: Quote, answer: Answer) -> Decision:
    lines = chosen(quote, answer.yes)
    sums = total_of(quote, lines)
    decision = Decision.objects.create(
        quote=quote,
        at=timezone.now(),
        way=answer.way,
        name=answer.name.strip(),
        noted_by=answer.noted_by,
        sentence=answer.sentence,
        shown_hash=quote.shown_hash,
        shown=quote.shown,
        net=sums.net,
        tax=sums.tax,
        gross=sums.gross,
    )
    wanted = {line.pk for line in lines}
    Choice.objects.bulk_create(
        [Choice(decision=decision, line=line, yes=line.pk in wanted) for line in quote.lines.all()]
    )
    return decision


def _trace(decision: Decision, origin: Origin) -> None:
    Trace.objects.create(
        decision=decision,
        address=origin.address[:45],
        agent=origin.agent[:400],
        link=origin.link,
        erase_after=timezone.localdate() + timedelta(days=TRACE_KEPT_DAYS),
    )


def _told(decision: Decision) -> dict[str, object]:
    choices = decision.choices.order_by("line__position").values_list("line_id", "yes")
    return {
        "quote": decision.quote.n,
        "hash": decision.shown_hash,
        "way": decision.way,
        "name": decision.name,
        "sentence": decision.sentence,
        "choices": [[line, yes] for line, yes in choices],
        "gross": decision.gross,
        "currency": decision.quote.currency,
        "agreed": decision.agreed_anything,
    }


def last_decision(job: Job) -> Decision | None:
    """The answer that the work goes by."""
    return Decision.objects.filter(quote__job=job).select_related("quote").order_by("-at").first()
