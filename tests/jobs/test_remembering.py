"""Closed jobs become cases: which jobs count, what was true of them, and when they are looked at again."""

import pytest

from jobs import remembering
from jobs.actions import finding, leaving
from jobs.learning import Count
from jobs.library import get
from jobs.library.facts import examples
from jobs.models import Job
from tests.cast import Cast

SLACK = "The lever is slack and something rattles."
SPACER, SCREWS = "body/spacer-fallen-in", "body/screws-torn-by-earlier-hands"

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def fresh_memory() -> None:
    remembering._kept.clear()


def found(cast: Cast, job: Job, explanation: str, **more: str) -> None:
    facts = examples(get(explanation).fields)
    cast.post_finding(job, f"About {explanation}", explanation=explanation, facts=facts, **more)


def closed(cast: Cast, explanation: str = SPACER, story: str = SLACK, **more: str) -> Job:
    """A job that was examined and is over."""
    job = cast.job_at("examining", story=story)
    found(cast, job, explanation, **more)
    leaving.withdraw(job, cast.technician)
    return job


def open_job(cast: Cast, story: str = SLACK) -> Job:
    return cast.job_at("examining", story=story)


def test_three_closed_jobs_with_such_a_story_are_counted(cast: Cast) -> None:
    for explanation in (SPACER, SPACER, SCREWS):
        closed(cast, explanation)
    assert remembering.counts_for(open_job(cast)) == [Count(SPACER, 2, 3), Count(SCREWS, 1, 3)]


def test_two_are_too_few_to_speak_of(cast: Cast) -> None:
    closed(cast)
    closed(cast)
    assert remembering.counts_for(open_job(cast)) == []


def test_a_job_that_closes_is_counted_from_then_on(cast: Cast) -> None:
    asked = open_job(cast)
    for tries in (3, 4):
        while Job.objects.filter(stage="withdrawn").count() < tries:
            closed(cast)
        assert remembering.counts_for(asked) == [Count(SPACER, tries, tries)]


def test_between_closings_the_cases_are_not_gathered_again(cast: Cast, django_assert_num_queries) -> None:
    closed(cast)
    remembering.learned()
    with django_assert_num_queries(2):
        remembering.learned()


def test_gathering_asks_as_many_questions_for_many_jobs_as_for_one(
    cast: Cast, django_assert_num_queries
) -> None:
    for _ in range(4):
        closed(cast)
    with django_assert_num_queries(2):
        assert len(remembering.gather()) == 4


@pytest.mark.parametrize(
    ("more", "counted"),
    [
        ({"bearing": "explains"}, True),
        ({"bearing": "use"}, True),
        ({"bearing": "earlier"}, True),
        ({"bearing": "separate"}, False),
        ({"bearing": "clears"}, False),
        ({"bearing": "explains", "certainty": "ruled_out"}, False),
    ],
)
def test_only_what_was_behind_the_story_turned_out_true(
    cast: Cast, more: dict[str, str], counted: bool
) -> None:
    closed(cast, **more)
    assert [case.true for case in remembering.gather()] == [frozenset({SPACER} if counted else set())]


def test_a_finding_that_was_taken_back_was_not_true(cast: Cast) -> None:
    job = open_job(cast)
    found(cast, job, SPACER)
    finding.withdraw_finding(job.findings.get(), "It was a pebble.", cast.technician)
    found(cast, job, SCREWS)
    leaving.withdraw(job, cast.technician)
    assert [case.true for case in remembering.gather()] == [frozenset({SCREWS})]


def test_a_job_that_never_came_to_the_bench_teaches_nothing(cast: Cast) -> None:
    leaving.withdraw(cast.book(story=SLACK), cast.technician)
    assert remembering.gather() == []


def test_a_job_with_a_finding_in_our_own_words_counts_among_the_stories(cast: Cast) -> None:
    for _ in range(2):
        closed(cast)
    job = open_job(cast)
    cast.post_finding(job)
    leaving.withdraw(job, cast.technician)
    assert remembering.counts_for(open_job(cast)) == [Count(SPACER, 2, 3)]


def test_a_job_that_is_over_is_not_compared_with_itself(cast: Cast) -> None:
    for _ in range(3):
        job = closed(cast)
    assert remembering.counts_for(job) == []


def test_an_explanation_that_the_library_no_longer_has_is_left_out(cast: Cast) -> None:
    for _ in range(3):
        job = closed(cast)
        job.findings.update(explanation="body/no-longer-there")
    assert remembering.counts_for(open_job(cast)) == []


def test_the_likelier_for_this_kind_of_camera_comes_first(cast: Cast) -> None:
    """Equally often true; the trait decides."""
    for explanation, trait in ((SCREWS, "reflex"), (SPACER, "folding")) * 2:
        job = cast.job_at("examining", story=SLACK, traits=[trait])
        found(cast, job, explanation)
        leaving.withdraw(job, cast.technician)
    for trait, first in (("reflex", SCREWS), ("folding", SPACER)):
        job = cast.job_at("examining", story=SLACK, traits=[trait])
        assert remembering.counts_for(job)[0].explanation == first
