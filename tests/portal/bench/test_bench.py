"""The list of what is on the bench, and finding a job."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from jobs import refs
from jobs.actions.asking import ask
from jobs.actor import Actor
from jobs.models import Job
from portal.bench.bench import groups
from tests.cast import Cast


def waits_since(job: Job, days: int) -> Job:
    Job.objects.filter(pk=job.pk).update(holder_since=timezone.now() - timedelta(days=days))
    return job


def test_our_own_moves_come_first_and_the_longest_wait_before_the_others(cast: Cast) -> None:
    theirs = waits_since(cast.job_at("expected"), 90)
    short = waits_since(cast.job_at("arrived"), 2)
    long = waits_since(cast.job_at("in_work"), 9)
    order = [row.job.pk for _, rows in groups() for row in rows]
    assert order == [long.pk, short.pk, theirs.pk]


def test_a_job_that_is_over_and_home_is_not_on_the_bench(cast: Cast, jory: Client) -> None:
    home = cast.home()
    assert home.shown_ref not in jory.get(reverse("bench")).content.decode()


def test_a_row_says_what_whose_where_it_stands_how_long_and_what_is_next(cast: Cast, jory: Client) -> None:
    job = waits_since(cast.job_at("arrived"), 4)
    page = jory.get(reverse("bench")).content.decode()
    for words in (
        "Corvane Skerry",
        job.shown_ref,
        "Orla Fennimore",
        "Arrived",
        "4 days",
        "Start the examination",
    ):
        assert words in page


def test_a_question_without_an_answer_stands_above_the_jobs(cast: Cast, jory: Client) -> None:
    job = cast.job_at("examining")
    ask(job, "Was it the sand?", Actor.customer(job.customer), "once-1")
    page = jory.get(reverse("bench")).content.decode()
    assert page.index("Was it the sand?") < page.index("Our move")
    assert "Answer Orla’s question" in page


def test_an_empty_bench_says_so(cast: Cast, jory: Client) -> None:
    assert "The bench is clear" in jory.get(reverse("bench")).content.decode()


@pytest.mark.parametrize("count", [5, 50])
def test_the_list_asks_as_much_of_the_database_for_fifty_jobs_as_for_five(
    cast: Cast, jory: Client, django_assert_num_queries: DjangoAssertNumQueries, count: int
) -> None:
    for _ in range(count):
        cast.job_at("arrived")
    jory.get(reverse("bench"))
    with django_assert_num_queries(5):
        jory.get(reverse("bench"))


@pytest.mark.parametrize("typed", ["{ref}", "{shown}", "{lower}", " {shown} "])
def test_a_reference_leads_straight_to_its_job(cast: Cast, jory: Client, typed: str) -> None:
    job = cast.book()
    asked = typed.format(ref=job.ref, shown=job.shown_ref, lower=job.ref.lower())
    answer = jory.get(reverse("bench"), {"q": asked})
    assert answer.url == reverse("bench_job", args=[job.ref])


def test_a_letter_o_typed_for_a_nought_still_finds_the_job(cast: Cast, jory: Client) -> None:
    job = cast.book()
    ref = refs.encode(32**5)  # 100000 and its check symbol
    Job.objects.filter(pk=job.pk).update(ref=ref)
    answer = jory.get(reverse("bench"), {"q": f"LOOO-OO{ref[-1]}"})
    assert answer.url == reverse("bench_job", args=[ref])


def test_a_slip_in_a_reference_is_named_as_one(cast: Cast, jory: Client) -> None:
    page = jory.get(reverse("bench"), {"q": "4TM7-QK1"}).content.decode()
    assert "one of its symbols must be wrong" in page


@pytest.mark.parametrize("typed", ["fennimore", "ORLA", "skerry", "corvane sker", "orla skerry", "88214"])
def test_a_job_is_found_by_person_camera_and_serial_number(cast: Cast, jory: Client, typed: str) -> None:
    job = cast.book(serial="88214")
    cast.another_book()
    page = jory.get(reverse("bench"), {"q": typed}).content.decode()
    assert job.shown_ref in page
    assert "Okoro-Byrne" not in page


def test_a_job_that_is_over_is_still_found(cast: Cast, jory: Client) -> None:
    home = cast.home()
    assert home.shown_ref in jory.get(reverse("bench"), {"q": "Orla"}).content.decode()


def test_nothing_found_says_so_and_keeps_what_was_typed(cast: Cast, jory: Client) -> None:
    page = jory.get(reverse("bench"), {"q": "Nightjar<b>"}).content.decode()
    assert "No person and no camera goes by “Nightjar&lt;b&gt;”" in page
    assert 'value="Nightjar&lt;b&gt;"' in page
