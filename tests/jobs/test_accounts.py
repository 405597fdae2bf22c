"""The account of a job, by itself and together with others."""

from typing import Any

from jobs.accounts import account, accounts
from jobs.actions import leaving, quote
from jobs.models import Job
from jobs.words import Stage
from tests.cast import Cast


def every_kind(cast: Cast) -> list[Job]:
    """Jobs that owe nothing, something, and too little."""
    jobs = [cast.job_at(stage, email=f"{stage}@example.org") for stage in Stage]
    for job in jobs[4:]:
        cast.pay(job, 1000)
    more = jobs[list(Stage).index(Stage.IN_WORK)]
    draft = quote.draft_quote(more)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Fit a sound rear group", 7800))
    cast.agree(quote.send_quote(draft, cast.technician))
    return jobs


def test_accounts_read_together_are_those_read_one_by_one(cast: Cast) -> None:
    jobs = every_kind(cast)
    assert accounts(jobs) == {job.pk: account(job) for job in jobs}


def test_many_accounts_cost_two_queries(cast: Cast, django_assert_num_queries: Any) -> None:
    jobs = every_kind(cast)
    with django_assert_num_queries(2):
        accounts(jobs)


def test_no_jobs_have_no_accounts(cast: Cast) -> None:
    assert accounts([]) == {}


def test_a_payment_for_nothing_agreed_keeps_its_currency(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    cast.pay(job, 2000)
    type(cast.workshop).objects.update(currency="EUR")
    stands = account(job)
    assert (stands.currency, stands.over) == ("GBP", 2000)


def test_an_end_without_repair_owes_what_was_said_that_day(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    leaving.withdraw(job, cast.technician)
    type(cast.workshop).objects.update(assessment_fee=99999)
    assert account(job).due == 3700
