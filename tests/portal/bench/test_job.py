"""The page of one job."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from jobs.actions.asking import answer, ask
from jobs.actions.finding import Draft, correct, keep
from jobs.actions.warranting import open_claim
from jobs.actions.working import measure
from jobs.actor import Actor
from jobs.models import Job, Photo
from jobs.words import Stage
from tests.cast import Cast
from tests.portal.bench.test_finding import SAID

# Two ask whether another job has closed, nine are the quotes and what the work shows, one what came by letter.
QUERIES = 31


def page_of(browser: Client, job: Job) -> str:
    return browser.get(reverse("bench_job", args=[job.ref])).content.decode()


@pytest.mark.parametrize("stage", list(Stage))
def test_every_stage_has_a_page(jory: Client, cast: Cast, stage: Stage) -> None:
    job = cast.job_at(stage)
    page = page_of(jory, job)
    assert str(stage.label) in page
    assert job.story.split(".")[0] in page


def test_the_next_step_is_the_first_control_of_the_page(jory: Client, cast: Cast) -> None:
    page = page_of(jory, cast.job_at("arrived")).split("<main")[1]
    assert page.index("Start the examination") < page.index("Give dates")
    assert 'class="act"' in page[: page.index("Start the examination")]


def test_it_shows_all_that_is_known(jory: Client, cast: Cast) -> None:
    job = cast.job_at("proving")
    measure(job, "1/60", 16_100, after_work=True)
    page = page_of(jory, job)
    for words in (
        "A screw had dropped among the gears",
        "No. A loose screw had jammed the gears.",
        "Free the winding gears",
        "£97",
        "On the page",
        "Body, lens.",
        "16.1 ms",
        "Proving begun",
        "01632 960142",
    ):
        assert words in page


def test_the_answer_to_the_story_is_one_field_above_the_findings(
    jory: Client, cast: Cast, examined: Job
) -> None:
    cast.post_finding(examined)
    page = page_of(jory, examined)
    assert page.index('name="answer"') < page.index("A screw had dropped among the gears")


def test_a_draft_says_that_nobody_sees_it(jory: Client, examined: Job) -> None:
    keep(examined, Draft(**SAID))
    assert "Orla does not see it." in page_of(jory, examined)


def test_a_question_and_its_answer_are_shown(jory: Client, cast: Cast, examined: Job) -> None:
    question = ask(examined, "Was it the sand?", Actor.customer(examined.customer), "once-1")
    assert "Orla asks" in page_of(jory, examined)
    answer(question, "No, there is none.", cast.technician)
    assert "No, there is none." in page_of(jory, examined)


def test_a_claim_and_its_first_job_lead_to_each_other(jory: Client, cast: Cast) -> None:
    home = cast.home()
    claim = open_claim(home, "It slips again.", Actor.customer(home.customer))
    assert claim.shown_ref in page_of(jory, home)
    assert home.shown_ref in page_of(jory, claim)


def test_what_people_wrote_is_never_markup(jory: Client, cast: Cast) -> None:
    job = cast.book(story="<img src=x onerror=alert(1)>", name="<b>Orla</b>")
    page = page_of(jory, job)
    assert "<img src=x" not in page
    assert "<b>Orla</b>" not in page


def test_a_photograph_that_failed_says_why(jory: Client, examined: Job, hang: Callable[..., Photo]) -> None:
    photo = hang(examined, "arrival")
    Photo.objects.filter(pk=photo.pk).update(state="failed", problem="This photo arrived damaged.")
    assert "This photo arrived damaged." in page_of(jory, examined)


@pytest.mark.parametrize("count", [1, 6])
def test_the_page_asks_as_much_of_the_database_for_six_findings_as_for_one(
    jory: Client,
    cast: Cast,
    hang: Callable[..., Photo],
    django_assert_num_queries: DjangoAssertNumQueries,
    count: int,
) -> None:
    job = cast.job_at("in_work")
    for n in range(count):
        finding = cast.post_finding(job, title=f"Finding {n}")
        correct(finding, Draft(**{**SAID, "title": f"Corrected {n}"}), "Clearer", cast.technician)
        hang(job, finding=finding)
        hang(job, "result")
        ask(job, f"Question {n}?", Actor.customer(job.customer), f"once-{n}", finding)
    page_of(jory, job)
    with django_assert_num_queries(QUERIES):
        page_of(jory, job)
