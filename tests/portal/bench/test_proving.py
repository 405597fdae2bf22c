"""Tests after the work."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.models import Job, Proof
from tests.cast import Cast
from tests.once import made_once


@pytest.fixture
def proved(cast: Cast) -> Job:
    return made_once(cast.job_at, "proving")


def note(browser: Client, job: Job, **said: Any) -> HttpResponse:
    return browser.post(reverse("bench_proving", args=[job.ref]), said)


def stage_of(job: Job) -> str:
    job.refresh_from_db()
    return job.stage


def test_content_with_all_that_was_tried_makes_it_ready(jory: Client, proved: Job) -> None:
    assert (
        note(jory, proved, transport="yes", transport_note="36 frames, even gaps.", focus="yes").status_code
        == 303
    )
    assert stage_of(proved) == "ready"
    assert list(Proof.objects.values_list("test", "content")) == [("transport", True), ("focus", True)]


def test_not_content_with_one_takes_it_back_to_the_bench(jory: Client, proved: Job) -> None:
    note(jory, proved, transport="yes", light="no", light_note="A leak at the hinge.")
    assert stage_of(proved) == "in_work"


def test_not_content_needs_what_we_saw(jory: Client, proved: Job) -> None:
    answer = note(jory, proved, light="no", transport="yes", transport_note="Even gaps.")
    assert answer.status_code == 422
    assert "Even gaps." in answer.content.decode()
    assert stage_of(proved) == "proving"


def test_no_test_at_all_is_refused(jory: Client, proved: Job) -> None:
    answer = note(jory, proved)
    assert answer.status_code == 422
    assert "Note at least one test." in answer.content.decode()


def test_an_answer_that_there_is_not_is_refused(jory: Client, proved: Job) -> None:
    assert note(jory, proved, transport="perhaps").status_code == 422


@pytest.mark.both
def test_sent_twice_it_was_tested_once(jory: Client, proved: Job) -> None:
    assert [note(jory, proved, transport="yes").status_code for _ in range(2)] == [303, 422]
    assert Proof.objects.count() == 1
