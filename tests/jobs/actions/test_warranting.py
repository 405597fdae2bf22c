import pytest
from dateutil.relativedelta import relativedelta
from django.utils import timezone

from jobs.actions import warranting, working
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Job
from jobs.words import Stage
from tests.cast import Cast


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.home()


def claim(job: Job, story: str = "The lever slips again.") -> Job:
    return warranting.open_claim(job, story, Actor.customer(job.customer))


def test_agreed_work_is_covered_for_its_months_from_the_day_it_was_home(job: Job) -> None:
    cover = job.warranty.covers.get()
    assert (cover.what, cover.mechanism) == ("Free the winding gears", "transport")
    assert cover.until == timezone.localdate() + relativedelta(months=12)


def test_what_we_told_about_and_left_is_named_as_not_covered(cast: Cast) -> None:
    job = cast.job_at(Stage.IN_WORK)
    cast.post_finding(
        job, "The covering has small bumps", mechanism="covering", effect="looks", bearing="separate"
    )
    job = cast.job_at(Stage.RETURNED, job=job) if job.stage == Stage.RETURNED else job
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    cast.send_back(job)
    working.deliver(job, cast.technician)
    left = job.warranty.covers.get(until__isnull=True)
    assert (left.what, left.mechanism) == ("The covering has small bumps", "covering")
    assert left.why_not


def test_a_claim_is_a_new_job_linked_to_the_old_one(job: Job) -> None:
    opened = claim(job)
    assert (opened.claim_on, opened.item, opened.stage) == (job, job.item, Stage.EXPECTED)


def test_both_journals_tell_of_the_claim(job: Job) -> None:
    opened = claim(job)
    assert job.entries.last().data["claim"] == opened.ref
    assert opened.entries.get().data["claim_on"] == job.ref


def test_a_second_claim_waits_for_the_first(job: Job) -> None:
    first = claim(job)
    with pytest.raises(Refused, match=first.shown_ref):
        claim(job)


def test_without_a_warranty_there_is_nothing_to_claim_on(cast: Cast) -> None:
    with pytest.raises(Refused):
        claim(cast.job_at(Stage.READY))


def test_a_claim_needs_a_story(job: Job) -> None:
    with pytest.raises(Refused):
        claim(job, "  ")


