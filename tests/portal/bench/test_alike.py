"""What such stories came from at this bench: counts with an interval beside the suggestions, for staff alone."""

import pytest
from django.urls import reverse

from jobs import remembering
from jobs.actions import leaving
from jobs.learning import Count
from jobs.library import get
from jobs.library.facts import examples
from jobs.words import Stage
from portal.bench.alike import counted, trust
from tests.portal.customer.pages import to, words_of

STORY = "The lever is slack and something rattles."
SPACER = "body/spacer-fallen-in"
LINE = "3 of 3 such stories here"


@pytest.fixture(autouse=True)
def fresh_memory():
    remembering._kept.clear()


def close(cast, times: int, explanation: str = SPACER) -> None:
    for _ in range(times):
        job = cast.job_at(Stage.EXAMINING, story=STORY)
        cast.post_finding(job, explanation=explanation, facts=examples(get(explanation).fields))
        leaving.withdraw(job, cast.technician)


@pytest.fixture
def job(cast):
    close(cast, 3)
    return cast.job_at(Stage.EXAMINING, story=STORY)


def page(client, name, job):
    return words_of(client.get(reverse(name, args=[job.ref])).text)


@pytest.mark.parametrize("name", ["bench_job", "bench_finding_new"])
def test_the_bench_reads_how_often_it_was_that(cast, as_staff, job, name):
    seen = page(as_staff(cast.technician_user), name, job)
    assert f"{get(SPACER).title} {LINE}, between 43 and 100 in a hundred" in seen
    assert "the lever swings without resistance and something rattles" in seen


def test_one_press_takes_the_explanation(cast, as_staff, job):
    client = as_staff(cast.technician_user)
    sheet = client.get(reverse("bench_finding_new", args=[job.ref])).text
    assert f'name="use"\n                  value="{SPACER}"' in sheet
    assert (
        get(SPACER).title in client.post(reverse("bench_finding_new", args=[job.ref]), {"use": SPACER}).text
    )


def test_with_two_such_stories_nothing_is_said(cast, as_staff):
    close(cast, 2)
    asked = cast.job_at(Stage.EXAMINING, story=STORY)
    assert "such stories" not in page(as_staff(cast.technician_user), "bench_job", asked).lower()


def test_another_story_is_not_counted_with_them(cast, as_staff, job):
    asked = cast.job_at(Stage.EXAMINING, story="The lens looks hazy.")
    assert "such stories" not in page(as_staff(cast.technician_user), "bench_job", asked).lower()


def test_the_customer_reads_nothing_of_it(job, as_customer):
    browser = as_customer(job)
    for name in ("my", "my_questions", "my_warranty"):
        assert "such stories" not in browser.get(to(name, job)).text.lower()


@pytest.mark.parametrize(
    ("hits", "tries", "words"),
    [
        (7, 9, "between 45 and 94 in a hundred"),
        (3, 3, "between 43 and 100 in a hundred"),
        (1, 30, "between 0 and 17 in a hundred"),
    ],
)
def test_the_interval_is_said_in_words_and_rounded_outwards(hits, tries, words):
    assert trust(Count(SPACER, hits, tries)) == words


def test_a_count_is_said_in_words():
    assert counted(Count(SPACER, 7, 9)) == "7 of 9 such stories here"
