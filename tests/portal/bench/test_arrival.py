"""Noting what came out of the parcel, and beginning the examination."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Arrival, Customer, Entry, Job
from tests.cast import Cast
from tests.portal.bench.conftest import upload

CAME = {"body": "on", "lens": "on", "loose_parts": "3", "condition": "A dent beside the finder."}


@pytest.fixture
def expected(cast: Cast) -> Job:
    return cast.book()


def arrive(browser: Client, job: Job, **said: Any) -> Any:
    return browser.post(reverse("bench_arrival", args=[job.ref]), said)


def test_what_came_is_noted_and_counted(jory: Client, expected: Job) -> None:
    assert arrive(jory, expected, **CAME).status_code == 303
    arrival = Arrival.objects.get(job=expected)
    assert (arrival.body, arrival.lens, arrival.caps, arrival.loose_parts) == (True, True, False, 3)
    assert arrival.by == "Jory Pell"


@pytest.mark.parametrize("wants", [True, False])
def test_only_who_wants_letters_about_progress_is_said_to_get_one(
    jory: Client, expected: Job, wants: bool
) -> None:
    Customer.objects.filter(pk=expected.customer_id).update(wants_progress=wants)
    said = jory.get(arrive(jory, expected, **CAME).headers["Location"]).text
    assert ("Orla gets a letter" in said) == wants
    assert ("wants no letters about progress" in said) != wants


def test_photographs_may_come_with_it(jory: Client, expected: Job) -> None:
    arrive(jory, expected, **CAME, photos=[upload(), upload()])
    assert [photo.purpose for photo in expected.photos.all()] == ["arrival", "arrival"]


def test_a_photograph_that_cannot_be_taken_is_named_and_the_arrival_stands(
    jory: Client, expected: Job
) -> None:
    answer = arrive(jory, expected, **CAME, photos=[upload(b"GIF89a" + bytes(40), "dent.gif")])
    page = jory.get(answer.url).content.decode()
    assert "dent.gif: This is not a photo that we can open." in page
    assert Arrival.objects.filter(job=expected).exists()


def test_nothing_ticked_is_refused_and_what_was_typed_is_kept(jory: Client, expected: Job) -> None:
    answer = arrive(jory, expected, condition="An empty box.", loose_parts="")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Tick at least one thing that came." in page
    assert "An empty box." in page


@pytest.mark.parametrize("typed", ["-1", "501", "a few"])
def test_a_count_that_cannot_be_is_refused(jory: Client, expected: Job, typed: str) -> None:
    assert arrive(jory, expected, **{**CAME, "loose_parts": typed}).status_code == 422
    assert not Arrival.objects.exists()


@pytest.mark.both
def test_sent_twice_it_arrived_once(jory: Client, expected: Job) -> None:
    answers = [arrive(jory, expected, **CAME) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [303, 422]
    assert "cannot go to “Arrived” from there" in answers[1].content.decode()
    assert Entry.objects.filter(job=expected, kind="arrived").count() == 1


def test_one_press_begins_the_examination(jory: Client, cast: Cast) -> None:
    job = cast.job_at("arrived")
    assert jory.post(reverse("bench_examine", args=[job.ref])).status_code == 303
    job.refresh_from_db()
    assert job.stage == "examining"


def test_a_second_press_says_why_not(jory: Client, examined: Job) -> None:
    answer = jory.post(reverse("bench_examine", args=[examined.ref]))
    assert answer.status_code == 422
    assert "This job is at “Examining”." in answer.content.decode()


def test_looking_at_the_page_changes_nothing(jory: Client, expected: Job) -> None:
    assert jory.get(reverse("bench_arrival", args=[expected.ref])).status_code == 200
    assert jory.get(reverse("bench_examine", args=[expected.ref])).status_code == 405
    expected.refresh_from_db()
    assert expected.stage == "expected"
