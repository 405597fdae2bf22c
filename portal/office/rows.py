"""One job as one row of the office's sheet. All rows of a page are read together: the number of queries does not grow with them."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import evidence, money, stages
from jobs.accounts import Account, accounts
from jobs.models import AwaitedPart, Job, Question, Quote, Workshop
from jobs.words import Holder, Owes, Stage
from notifications.models import Letter, Nudge, Owing
from portal.drawing import days
from portal.office import steps
from portal.office.asks import days_waited, promise_state
from portal.office.money import asked_now


@dataclass(frozen=True)
class Chased:
    """How far the chasing of an open quote has come. `strokes`: days after the move passed on which a nudge went out. `state`: a value
    of Owing.State.
    """

    strokes: list[int]
    next_on: date | None = None
    state: str = Owing.State.CHASED


@dataclass(frozen=True)
class Row:
    job: Job
    days: int
    rail: days.Waited
    step: steps.Step
    sum: str
    is_offer: bool
    one_more: str  # what is offered beside what is agreed, "" for nothing
    to_pay: str  # what is asked for now, "" for nothing
    opened_since: bool | None  # None: there is no quote to open
    letter: Letter | None
    promised: days.Promised | None
    promise_state: str
    may_nudge: bool
    may_renew: bool


@dataclass(frozen=True)
class Told:
    """Everything that the rows of one page need, by job."""

    house: Workshop
    today: date
    quotes: dict[int, Quote]
    agreed: dict[int, int]  # minor units over all answers
    nudges: dict[str, list[datetime]]  # by thing
    owings: dict[int, Owing]  # of open quotes, by job
    asked: set[int]  # jobs in which they owe an answer to a question of ours
    questions: dict[int, list[Question]]
    parts: dict[int, date | None]
    letters: dict[int, Letter]
    accounts: dict[int, Account]  # of jobs where money may keep something waiting


def rows(jobs: list[Job], house: Workshop, axis_days: int = 0) -> list[Row]:
    """Ten queries for any number of jobs. `axis_days`: length of the axis of days waited; 0 lets the longest wait decide."""
    told = _read(jobs, house)
    axis = axis_days or axis_of(jobs)
    return [_row(job, told, axis) for job in jobs]


def axis_of(jobs: Iterable[Job]) -> int:
    return days.longest(days_waited(job) for job in jobs)


def _read(jobs: list[Job], house: Workshop) -> Told:
    pks = [job.pk for job in jobs]
    sent = _quotes(pks)
    quotes = {quote.job_id: quote for quote in sent}
    nudges: dict[str, list[datetime]] = defaultdict(list)
    for thing, at in Nudge.objects.filter(job__in=pks, about=Owes.QUOTE).values_list("thing", "at"):
        nudges[thing].append(at)
    questions: dict[int, list[Question]] = defaultdict(list)
    for question in Question.objects.filter(job__in=pks):
        questions[question.job_id].append(question)
    owings = list(Owing.objects.filter(job__in=pks, about__in=(Owes.QUOTE, Owes.QUESTION)))
    parts = AwaitedPart.objects.filter(job__in=pks, came_at__isnull=True).order_by("-expected_on")
    return Told(
        house=house,
        today=timezone.localdate(),
        quotes=quotes,
        agreed=_agreed(sent),
        nudges=nudges,
        owings={owing.job_id: owing for owing in owings if owing.about == Owes.QUOTE},
        asked={owing.job_id for owing in owings if owing.about == Owes.QUESTION},
        questions=questions,
        parts=dict(parts.values_list("job", "expected_on")),
        letters=Letter.objects.last_of(pks),
        accounts=accounts(job for job in jobs if _may_ask_for_money(job)),
    )


def _may_ask_for_money(job: Job) -> bool:
    """Ready or given back: what is due. Agreed and the customer's move: perhaps the deposit."""
    if job.stage in (Stage.READY, *stages.OVER):
        return True
    return job.stage == Stage.AGREED and job.holder == Holder.CUSTOMER


def _quotes(pks: list[int]) -> list[Quote]:
    """The quotes that were sent, of each job, in their order, with lines and answers."""
    gone = [Quote.State.DRAFT, Quote.State.REPLACED]
    found = Quote.objects.filter(job__in=pks).exclude(state__in=gone).order_by("job", "n")
    return list(found.select_related("decision").prefetch_related("lines").defer("shown", "decision__shown"))


def _agreed(quotes: Iterable[Quote]) -> dict[int, int]:
    sums: dict[int, int] = defaultdict(int)
    for quote in quotes:
        if quote.state == Quote.State.ANSWERED:
            sums[quote.job_id] += quote.decision.gross
    return sums


def _to_pay(job: Job, told: Told) -> str:
    """What is asked for now: the missing deposit, or all that is due once there is nothing more to do for it."""
    account = told.accounts.get(job.pk)
    asked = asked_now(job, account) if account else 0
    return money.show(asked, account.currency) if account and asked else ""


def _row(job: Job, told: Told, axis: int) -> Row:
    quote = told.quotes.get(job.pk)
    waited = days_waited(job)
    chased = _chased(job, quote, told)
    waits = any(question.answered_at is None for question in told.questions[job.pk])
    is_open = quote is not None and quote.state == Quote.State.OPEN
    to_pay = _to_pay(job, told)
    facts = steps.Facts(
        told.today,
        quote,
        chased.next_on,
        waits,
        told.parts.get(job.pk),
        bool(to_pay),
        chased.state,
        job.pk in told.asked,
    )
    stands = told.accounts.get(job.pk)
    words, is_offer = _sum(quote, stands.agreed if stands else told.agreed.get(job.pk, 0))
    return Row(
        job=job,
        days=waited,
        rail=days.waited(waited, chased.strokes, axis),
        step=steps.next_step(job, facts),
        sum=words,
        is_offer=is_offer,
        one_more=_one_more(quote) if is_open and not is_offer else "",
        to_pay=to_pay,
        opened_since=_opened_since(job, quote) if is_open else None,
        letter=told.letters.get(job.pk),
        promised=_promised(job, told.today),
        promise_state=promise_state(job.stage, job.likely_by, told.today) if job.likely_by else "",
        may_nudge=is_open and not waits and chased.state != Owing.State.PAUSED,
        may_renew=quote is not None and quote.state == Quote.State.LAPSED and not job.is_over,
    )


def _chased(job: Job, quote: Quote | None, told: Told) -> Chased:
    if quote is None or quote.state != Quote.State.OPEN:
        return Chased([])
    start = timezone.localtime(job.holder_since).date()
    strokes = [(timezone.localtime(at).date() - start).days for at in told.nudges[f"quote-{quote.pk}"]]
    owing = told.owings.get(
        job.pk
    )  # not there for the seconds until the relay has read that the quote was sent
    return Chased(strokes, owing.next_on, owing.state) if owing else Chased(strokes)


def _sum(quote: Quote | None, agreed: int) -> tuple[str, bool]:
    """What was agreed; or what is offered, from all that is needed to everything, and that it is an offer."""
    if quote is None:
        return "", False
    if quote.state == Quote.State.ANSWERED or agreed:  # one thing more is offered: what is agreed stands
        return money.show(agreed, quote.currency), False
    if quote.state == Quote.State.LAPSED:
        return "", False
    return _offered(quote), True


def _one_more(quote: Quote | None) -> str:
    return _offered(quote) if quote else ""


def _offered(quote: Quote) -> str:
    """From all that is needed to everything."""
    least, most = evidence.extremes(quote, quote.lines.all())
    if least == most:
        return money.show(most, quote.currency)
    spread = {"least": money.show(least, quote.currency), "most": money.show(most, quote.currency)}
    return _("%(least)s–%(most)s") % spread


def _opened_since(job: Job, quote: Quote | None) -> bool:
    return bool(quote and quote.sent_at and job.opened_at and job.opened_at >= quote.sent_at)


def _promised(job: Job, today: date) -> days.Promised | None:
    is_kept = job.stage == Stage.READY or job.stage in stages.OVER
    if job.likely_by is None or (is_kept and job.holder in (Holder.CUSTOMER, Holder.CARRIER)):
        return None  # our part of it is done
    return days.promised(today, job.likely_by, job.surely_by or job.likely_by)
