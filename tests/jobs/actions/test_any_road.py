"""Whatever people press, and in whatever order: the job stands at a stage that the table allows, and its money adds up."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import transaction
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs import journal, stages
from jobs.accounts import account
from jobs.actions import leaving, paying, quote, trying, working
from jobs.actions.refusals import Refused
from jobs.evidence import sheet
from jobs.models import Job, Quote
from jobs.words import Holder, Stage
from tests.cast import Cast, make_cast

Step = Callable[[Cast, Job, int], Any]


def answer(cast: Cast, job: Job, n: int) -> None:
    """Any subset of lines and branches, wise or not."""
    if sent := job.quotes.open().first():
        ids = sorted(sheet(sent).by_id)
        cast.agree(sent, [pk for place, pk in enumerate(ids) if n >> place & 1])


def more(cast: Cast, job: Job, n: int) -> None:
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", f"One thing more {n}", 100 * n))
    quote.send_quote(draft, cast.technician, sending=quote.Sending(work_waits=bool(n % 2)))


def lapse(cast: Cast, job: Job, n: int) -> None:
    if sent := job.quotes.open().first():
        Quote.objects.filter(pk=sent.pk).update(valid_until="2020-01-01")
        quote.lapse(sent)


def pay(cast: Cast, job: Job, n: int) -> None:
    paid = paying.Paid(["payment", "refund", "deposit"][n % 3], "cash", 100 * n, timezone.localdate())
    paying.note_payment(job, paid, f"step-{job.last_seq}", cast.technician)


def try_it(cast: Cast, job: Job, n: int) -> None:
    for line in trying.waiting_tries(job)[:1]:
        ways = list(line.outcomes.all())
        trying.note_outcome(line, ways[n % len(ways)], cast.technician)


STEPS: dict[str, Step] = {
    "answer": answer,
    "more": more,
    "lapse": lapse,
    "pay": pay,
    "try": try_it,
    "renew": lambda cast, job, n: quote.renew(job, cast.technician),
    "take back": lambda cast, job, n: quote.take_back_quote(job, cast.technician),
    "withdraw": lambda cast, job, n: leaving.withdraw(job, cast.technician),
    "pay all": lambda cast, job, n: cast.pay(job),
    "release": lambda cast, job, n: paying.release(job, "A friend", cast.owner),
    "work": lambda cast, job, n: working.start_work(job, cast.technician),
    "prove": lambda cast, job, n: working.start_proving(job, cast.technician),
    "proved": lambda cast, job, n: working.prove(
        job, [working.Tested("focus", bool(n % 3))], cast.technician
    ),
    "send": lambda cast, job, n: working.send_back(job, cast.technician),
    "home": lambda cast, job, n: working.deliver(job, cast.technician),
}
roads = st.lists(st.tuples(st.sampled_from(list(STEPS)), st.integers(0, 63)), min_size=3, max_size=14)


def quoted(cast: Cast) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    first = quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500))
    ways = (
        quote.OutcomeDraft("It wipes off", 14),
        quote.OutcomeDraft(
            "The glass has gone",
            6,
            follow_ons=(quote.LineDraft("part", "needed", "Fit a lens group", 7800),),
        ),
    )
    quote.put_line(draft, quote.LineDraft("work", "advised", "Clean the haze", 3800, outcomes=ways))
    needs = quote.LineDraft("work", "optional", "Polish the cover", 900, requires=[first])
    quote.put_line(draft, needs)
    quote.put_line(draft, quote.LineDraft("carriage", "needed", "Insured post home", 1200))
    quote.send_quote(draft, cast.technician, sending=quote.Sending(deposit=2000))
    return job


def may_have_come(here: str, there: str) -> bool:
    """In one move of the table, or two (a proving that passes moves once; nothing moves more than twice in one action)."""
    onward = stages.MOVES[Stage(here)]
    return here == there or there in onward or any(there in stages.MOVES[each] for each in onward)


@pytest.mark.django_db
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(road=roads)
def test_any_road_ends_at_a_stage_that_the_table_allows(road: list[tuple[str, int]]) -> None:
    with transaction.atomic():
        cast = make_cast()
        job = quoted(cast)
        for name, n in road:
            here = job.stage
            try:
                with transaction.atomic():
                    STEPS[name](cast, job, n)
            except Refused:
                pass
            job = Job.objects.get(pk=job.pk)
            assert may_have_come(here, job.stage), (name, here, job.stage)
            _holds(job)
        transaction.set_rollback(True)


def _holds(job: Job) -> None:
    assert job.next_words  # every stage and holder has its words
    assert job.move_words
    assert job.quotes.filter(state="open").count() <= 1
    assert not (job.is_over and job.open_quote)
    stands = account(job)
    assert stands.due == max(0, stands.agreed - stands.paid)
    assert stands.paid >= 0
    left = job.stage in stages.OVER and job.holder in (Holder.CARRIER, Holder.NOBODY)
    assert (
        not left or stands.is_settled or hasattr(job, "released") or job.entries.filter(kind="payment_undone")
    )
    assert journal.verify(job) is None
