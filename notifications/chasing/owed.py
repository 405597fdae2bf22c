"""What customers owe us, read from the rows: an answer to a quote, an answer to our question, payment, or to come and collect.

This is the truth that everything about chasing looks at: inside the job's lock before a nudge is written, and again when its letter
is sent. `Owing` rows are only its summary, for lists.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db.models import Max

from jobs import stages
from jobs.accounts import Account, accounts
from jobs.evidence import extremes
from jobs.models import Enquiry, Entry, Job, Kind, Payment, Quote, Released
from jobs.words import Holder, Need, Owes, ReturnBy, Stage
from notifications.chasing.house import House, read_house

# With these entries something begins to be due, or what is due changes. Part of a payment is an act of theirs: the rest is asked for
# anew, kindly.
MONEY_MOVED = (
    Kind.DECIDED,
    Kind.READY,
    Kind.WITHDRAWN,
    Kind.SENT_BACK,
    Kind.PAID,
    Kind.REFUNDED,
    Kind.PAYMENT_UNDONE,
)
MADE_READY = (Kind.READY, Kind.WITHDRAWN)


@dataclass(frozen=True)
class Owed:
    """One thing that is owed. `thing` names it for as long as it is owed (see `Nudge`); `n` is the number in the name.

    money: minor units of `currency` that wait for it. For a quote what is needed of it, or where nothing is needed everything on it;
    for a question what is agreed and not paid, since the work waits; else what is due. last_day: of the quote, or of free storage.
    """

    job: int
    about: Owes
    n: int
    since: datetime
    money: int = 0
    currency: str = ""
    last_day: date | None = None

    @property
    def thing(self) -> str:
        return f"{_NAMES[self.about]}-{self.n}"


_NAMES = {
    Owes.QUOTE: "quote",
    Owes.QUESTION: "enquiry",
    Owes.PAYMENT: "payment",
    Owes.COLLECTION: "collection",
}


@dataclass(frozen=True)
class _Marks:
    """The newest entry (its number, its moment) with which money moved, and with which the item was to be fetched."""

    money: tuple[int, datetime] | None = None
    ready: tuple[int, datetime] | None = None


def owed(job: Job, house: House | None = None) -> list[Owed]:
    """What is owed about one job now: at most one of each kind, what holds up the bench first."""
    return owed_by([job], house).get(job.pk, [])


def owed_by(jobs: Collection[Job], house: House | None = None) -> dict[int, list[Owed]]:
    """The same for many jobs, by primary key; jobs that owe nothing are left out. Two queries, seven more where something may be owed."""
    of = {job.pk: job for job in jobs}
    quotes, questions = _quotes(of), _questions(of)
    to_pay, to_fetch = _may_owe_money(of), [job for job in of.values() if _waits_to_be_fetched(job)]
    if not (quotes or questions or to_pay or to_fetch):
        return {}
    stand = accounts(of[pk] for pk in {*questions, *(job.pk for job in [*to_pay, *to_fetch])})
    marks = _marks([job.pk for job in [*to_pay, *to_fetch]])
    found: dict[int, list[Owed]] = defaultdict(list)
    for pk, quote in quotes.items():
        found[pk].append(quote)
    for pk, question in questions.items():
        found[pk].append(replace(question, money=stand[pk].due, currency=stand[pk].currency))
    for job in to_pay:
        if payment := _payment(job, stand[job.pk], marks[job.pk]):
            found[job.pk].append(payment)
    if to_fetch:
        house = house or read_house()
        for job in to_fetch:
            if fetching := _collection(job, stand[job.pk], marks[job.pk], house):
                found[job.pk].append(fetching)
    return dict(found)


def _quotes(jobs: Iterable[int]) -> dict[int, Owed]:
    rows = Quote.objects.open().filter(job__in=jobs, sent_at__isnull=False).prefetch_related("lines")
    return {quote.job_id: _quote(quote) for quote in rows.defer("shown")}


def _quote(quote: Quote) -> Owed:
    assert quote.sent_at
    lines = quote.lines.all()
    least, most = extremes(quote, lines)
    needs = any(line.need == Need.NEEDED and not line.is_fixed for line in lines if line.outcome_id is None)
    money = least if needs else most
    return Owed(quote.job_id, Owes.QUOTE, quote.pk, quote.sent_at, money, quote.currency, quote.valid_until)


def _questions(of: dict[int, Job]) -> dict[int, Owed]:
    """Of several that are open in a job, the oldest: one letter asks for them all. Once a job is over nothing waits for the answer."""
    going_on = [pk for pk, job in of.items() if job.stage not in stages.OVER]
    rows = Enquiry.objects.open().filter(job__in=going_on).order_by("-asked_at", "-pk")
    return {
        pk: Owed(pk, Owes.QUESTION, number, asked_at)
        for pk, number, asked_at in rows.values_list("job", "pk", "asked_at")
    }


def _may_owe_money(of: dict[int, Job]) -> list[Job]:
    """Where it is their move and money may be what is waited for; and what is home, where it may have gone unpaid."""
    waits = [job for job in of.values() if _waits_for_money(job)]
    over = [pk for pk, job in of.items() if job.stage in stages.OVER and job.holder in _GONE]
    if over:
        let_go = set(Released.objects.filter(job__in=over).values_list("job", flat=True))
        undone = Payment.objects.filter(job__in=over, reverses__isnull=False)
        waits += [of[pk] for pk in over if pk in let_go | set(undone.values_list("job", flat=True))]
    return waits


_GONE = (Holder.CARRIER, Holder.NOBODY)


def _waits_for_money(job: Job) -> bool:
    if job.holder != Holder.CUSTOMER:
        return False
    return job.stage == Stage.AGREED or (_is_to_leave(job) and job.return_by == ReturnBy.POST)


def _waits_to_be_fetched(job: Job) -> bool:
    return job.holder == Holder.CUSTOMER and _is_to_leave(job) and job.return_by == ReturnBy.COLLECT


def _is_to_leave(job: Job) -> bool:
    return job.stage in stages.TO_LEAVE


def _payment(job: Job, stands: Account, marks: _Marks) -> Owed | None:
    """A deposit before the work; all that is due before the parcel leaves, or after it left by the owner's leave."""
    due = stands.deposit_due if job.stage == Stage.AGREED else stands.due
    if not due or marks.money is None:
        return None
    return Owed(job.pk, Owes.PAYMENT, *marks.money, due, stands.currency)


def _collection(job: Job, stands: Account, marks: _Marks, house: House) -> Owed | None:
    """It waits here to be fetched; what is due for it is told in the same letter."""
    if marks.ready is None:
        return None
    last_day = house.day(marks.ready[1]) + timedelta(days=house.storage_days)
    return Owed(job.pk, Owes.COLLECTION, *marks.ready, stands.due, stands.currency, last_day)


def _marks(jobs: Collection[int]) -> dict[int, _Marks]:
    """One query: the numbers of a job's entries rise with its journal, because its writers take turns."""
    found: dict[int, _Marks] = dict.fromkeys(jobs, _Marks())
    rows = Entry.objects.filter(job__in=jobs, kind__in=MONEY_MOVED).order_by().values_list("job", "kind")
    for job, kind, number, at in rows.annotate(Max("pk"), Max("at")):
        mark, before = (number, at), found[job]
        money = max(before.money or mark, mark)
        ready = max(before.ready or mark, mark) if kind in MADE_READY else before.ready
        found[job] = _Marks(money, ready)
    return found
