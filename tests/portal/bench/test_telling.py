"""The answer to the story, answers to questions, the two dates."""

from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.actions.asking import ask
from jobs.actor import Actor
from jobs.models import Entry, Job, Question
from tests.cast import Cast


def entries(job: Job, kind: str) -> int:
    return Entry.objects.filter(job=job, kind=kind).count()


def test_the_story_is_answered_and_the_answer_can_be_bettered(jory: Client, examined: Job) -> None:
    address = reverse("bench_story", args=[examined.ref])
    assert jory.post(address, {"answer": "No. A screw had jammed the gears."}).status_code == 303
    assert "No. A screw had jammed the gears." in jory.get(address).content.decode()


@pytest.mark.both
def test_the_same_answer_sent_twice_is_one_letter(jory: Client, examined: Job) -> None:
    address = reverse("bench_story", args=[examined.ref])
    assert [jory.post(address, {"answer": "No."}).status_code for _ in range(2)] == [303, 303]
    assert entries(examined, "story_answered") == 1


@pytest.mark.both
@pytest.mark.parametrize("answer", ["", "   ", "x" * 1001])
def test_no_answer_and_too_long_a_one_are_refused(jory: Client, examined: Job, answer: str) -> None:
    assert jory.post(reverse("bench_story", args=[examined.ref]), {"answer": answer}).status_code == 422


def test_the_story_is_not_answered_before_the_examination(jory: Client, cast: Cast) -> None:
    job = cast.job_at("arrived")
    answer = jory.post(reverse("bench_story", args=[job.ref]), {"answer": "No."})
    assert answer.status_code == 422
    assert "while the job is at “Arrived”" in answer.content.decode()


@pytest.fixture
def question(examined: Job) -> Question:
    return ask(examined, "Was it the sand?", Actor.customer(examined.customer), "once-1")


def test_a_question_is_answered_by_name(jory: Client, question: Question) -> None:
    address = reverse("bench_answer", args=[question.job.ref, question.pk])
    assert jory.post(address, {"answer": "No, there is none."}).status_code == 303
    question.refresh_from_db()
    assert (question.answer, question.answered_by) == ("No, there is none.", "Jory Pell")


def test_a_second_answer_is_refused_and_stays_in_the_field(jory: Client, question: Question) -> None:
    address = reverse("bench_answer", args=[question.job.ref, question.pk])
    jory.post(address, {"answer": "No, there is none."})
    answer = jory.post(address, {"answer": "Yes, a little."})
    assert answer.status_code == 422
    assert "This question has been answered already." in answer.content.decode()
    assert "Yes, a little." in answer.content.decode()


@pytest.mark.parametrize("typed", ["", " "])
def test_an_empty_answer_is_refused(jory: Client, question: Question, typed: str) -> None:
    address = reverse("bench_answer", args=[question.job.ref, question.pk])
    assert jory.post(address, {"answer": typed}).status_code == 422


def test_a_question_of_another_job_is_not_found(jory: Client, cast: Cast, question: Question) -> None:
    other = cast.book(name="Ivo", email="ivo@example.org")
    assert jory.get(reverse("bench_answer", args=[other.ref, question.pk])).status_code == 404


def in_days(days: int) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def give(browser: Client, job: Job, likely: str, surely: str, note: str = "if you answer soon") -> int:
    said = {"likely_by": likely, "surely_by": surely, "note": note}
    return browser.post(reverse("bench_promise", args=[job.ref]), said).status_code


def test_two_dates_are_given_with_what_they_depend_on(jory: Client, examined: Job) -> None:
    assert give(jory, examined, in_days(10), in_days(20)) == 303
    examined.refresh_from_db()
    assert examined.likely_by == timezone.localdate() + timedelta(days=10)
    assert examined.promise_note == "if you answer soon"


def test_a_day_may_be_typed_as_people_write_it(jory: Client, examined: Job) -> None:
    assert give(jory, examined, "30/10/2099", "2 November 2099") == 303
    examined.refresh_from_db()
    assert (examined.likely_by, examined.surely_by) == (date(2099, 10, 30), date(2099, 11, 2))


def test_the_same_dates_given_twice_are_one_letter(jory: Client, examined: Job) -> None:
    assert [give(jory, examined, in_days(10), in_days(20)) for _ in range(2)] == [303, 303]
    assert entries(examined, "promised") == 1


@pytest.mark.parametrize(("likely", "surely"), [(-1, 5), (10, 9)])
def test_days_past_or_the_wrong_way_round_are_refused(
    jory: Client, examined: Job, likely: int, surely: int
) -> None:
    assert give(jory, examined, in_days(likely), in_days(surely)) == 422
    examined.refresh_from_db()
    assert examined.likely_by is None


@pytest.mark.parametrize("typed", ["", "soon", "31/02/2099"])
def test_what_is_no_day_is_refused(jory: Client, examined: Job, typed: str) -> None:
    assert give(jory, examined, typed, in_days(5)) == 422
