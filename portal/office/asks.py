"""What the office looks at: whose move it is, which promises are near, what is agreed and not earned. Every question is bounded.

A workshop of three people has a few dozen open jobs; the bounds are there so that a hundred thousand rows cost what a thousand do.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import QuerySet, Sum
from django.utils import timezone

from jobs import stages
from jobs.models import Decision, Enquiry, Job, Quote
from jobs.words import Holder, Stage
from portal.drawing.days import state

COUNTED = 100  # more are said to be "more than 99"
PROMISES_LOOKED_AT = 200
SUMS_ADDED = 300

OPEN_HOLDERS = (Holder.CUSTOMER, Holder.WORKSHOP, Holder.SUPPLIER, Holder.CARRIER)
OURS_TO_KEEP = (Holder.WORKSHOP, Holder.SUPPLIER)
# Days of work that usually remain at a stage: common practice in a small shop, not measured. A promise nearer than that is at risk.
WORK_LEFT = {
    Stage.ARRIVED: 5,
    Stage.EXAMINING: 5,
    Stage.AGREED: 3,
    Stage.AWAITING_PART: 4,
    Stage.IN_WORK: 2,
    Stage.PROVING: 1,
    Stage.READY: 1,
}
MOST_LEFT = max(WORK_LEFT.values())


@dataclass(frozen=True)
class Many:
    """A count that stops counting. `n` is exact unless `is_more`."""

    n: int
    is_more: bool = False


@dataclass(frozen=True)
class Earning:
    """Minor units by currency that are agreed and not yet earned; at least so much when `is_more`."""

    sums: list[tuple[str, int]]
    is_more: bool = False


@dataclass(frozen=True)
class Owed:
    """Answers that customers owe us: how many; and who has owed one longest, for how many days."""

    many: Many
    oldest: Job | None = None
    days: int = 0


def owed() -> Owed:
    """Quotes that can be answered, those for one thing more among them, and questions of ours, which count once for a job.

    Who only pays, posts or fetches owes no answer.
    """
    found = [*_open_quotes(), *_open_questions()]
    if not found:
        return Owed(Many(0))
    waits = [(days, -place, job) for place, (days, job) in enumerate(found)]
    days, _place, oldest = max(waits, key=lambda each: each[:2])
    return Owed(Many(min(len(found), COUNTED - 1), len(found) >= COUNTED), oldest, days)


def _open_quotes() -> list[tuple[int, Job]]:
    """Days waited, and the job."""
    found = Quote.objects.open().order_by("sent_at", "pk").select_related("job").defer("shown")[:COUNTED]
    return [(_days_open(quote), quote.job) for quote in found]


def _open_questions() -> list[tuple[int, Job]]:
    going_on = Enquiry.objects.open().exclude(job__stage__in=stages.OVER)
    found = list(going_on.order_by("asked_at", "pk").select_related("job")[:COUNTED])
    oldest = {enquiry.job_id: enquiry for enquiry in reversed(found)}
    return [(_days_since(enquiry.asked_at), enquiry.job) for enquiry in oldest.values()]


def _days_open(quote: Quote) -> int:
    """As the sheet counts them where it is the customer's move; of one thing more, while the work goes on, since it was sent."""
    if quote.job.holder == Holder.CUSTOMER or quote.sent_at is None:
        return days_waited(quote.job)
    return _days_since(quote.sent_at)


def _days_since(moment: datetime) -> int:
    """Days on the calendar: what a person would count."""
    return max(0, (timezone.localdate() - timezone.localdate(moment)).days)


def held_by(holder: Holder) -> "QuerySet[Job]":
    return Job.objects.filter(holder=holder)


def count(queryset: "QuerySet[Any]") -> Many:
    n = queryset.order_by()[:COUNTED].count()
    return Many(min(n, COUNTED - 1), n >= COUNTED)


def endangered(today: date) -> "list[QuerySet[Job]]":
    """For each holder that keeps promises for us, the jobs whose likely day is near or over."""
    soon = today + timedelta(days=MOST_LEFT)
    return [
        held_by(holder).filter(likely_by__lte=soon).order_by("likely_by", "pk") for holder in OURS_TO_KEEP
    ]


def promises(today: date) -> tuple[Many, Many]:
    """How many promises are at risk, and how many have passed."""
    states = [promise_state(*row, today) for row in _near(today)]
    return _many(states, "at_risk"), _many(states, "passed")


def promise_state(stage: str, likely_by: date, today: date) -> str:
    """kept, at_risk or passed."""
    return state(today, likely_by, WORK_LEFT.get(Stage(stage), 0))


def unearned() -> Earning:
    """What is agreed in jobs whose work is not done."""
    open_jobs = list(
        Job.objects.agreed_and_not_earned().order_by()[: SUMS_ADDED + 1].values_list("pk", flat=True)
    )
    sums = (
        Decision.objects.filter(quote__job__in=open_jobs[:SUMS_ADDED])
        .values_list("quote__currency")
        .annotate(Sum("gross"))
    )
    return Earning(sorted(sums), len(open_jobs) > SUMS_ADDED)


def may_wait_for_money() -> "QuerySet[Job]":
    """Jobs that are the customer's move where money may be what is waited for: a deposit, or what is due at the end."""
    return held_by(Holder.CUSTOMER).filter(stage__in=stages.TO_LEAVE | {Stage.AGREED})


def let_go() -> "QuerySet[Job]":
    """Jobs that the owner let go home before they were paid, the latest first."""
    return Job.objects.filter(released__isnull=False, stage__in=stages.OVER).order_by("-released__at", "pk")


def working_stages() -> list[str]:
    return sorted(stages.AGREED_AND_NOT_EARNED)


def days_waited(job: Job) -> int:
    """Days since the move became its holder's."""
    return _days_since(job.holder_since)


def _near(today: date) -> Iterable[tuple[str, date]]:
    for jobs in endangered(today):
        yield from jobs[:PROMISES_LOOKED_AT].values_list("stage", "likely_by")


def _many(states: list[str], wanted: str) -> Many:
    n = states.count(wanted)
    return Many(min(n, COUNTED - 1), n >= COUNTED)
