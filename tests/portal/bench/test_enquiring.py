"""Asking the customer something, from the bench."""

from uuid import uuid4

import pytest
from django.urls import reverse

from jobs.actions.enquiring import enquire
from jobs.models import Enquiry


@pytest.fixture
def job(cast):
    return cast.job_at("examining")


@pytest.fixture
def bench(client, cast):
    client.force_login(cast.technician_user)
    return client


def test_a_question_goes_out_and_stands_on_the_jobs_page(bench, job):
    told = {"text": "Which lens was on it?", "work_waits": "on", "once": str(uuid4())}
    page = bench.post(reverse("bench_ask_them", args=[job.ref]), told, follow=True).content.decode()
    assert Enquiry.objects.get().work_waits
    assert "Which lens was on it?" in page
    assert "Note what they said" in page


def test_an_empty_question_comes_back_with_a_sentence(bench, job):
    answer = bench.post(reverse("bench_ask_them", args=[job.ref]), {"text": "", "once": str(uuid4())})
    assert answer.status_code == 422
    assert "Write the question first." in answer.content.decode()
    assert not Enquiry.objects.exists()


def test_what_they_said_by_telephone_is_noted_with_who_noted_it(bench, cast, job):
    asked = enquire(job, "Which lens?", cast.technician, "once-1", work_waits=True)
    page = bench.post(
        reverse("bench_they_said", args=[job.ref, asked.pk]), {"answer": "The long one."}, follow=True
    ).content.decode()
    assert "The long one." in page
    assert job.entries.get(kind="enquiry_answered").by_kind == "staff"


def test_a_question_is_taken_back_by_one_press(bench, cast, job):
    asked = enquire(job, "Which lens?", cast.technician, "once-1")
    bench.post(reverse("bench_ask_no_more", args=[job.ref, asked.pk]))
    asked.refresh_from_db()
    assert asked.dropped_at
    refused = bench.post(reverse("bench_ask_no_more", args=[job.ref, asked.pk]))
    assert "We took this question back" in refused.content.decode()


def test_while_the_work_waits_the_next_step_is_their_answer(bench, cast, job):
    enquire(job, "Which lens?", cast.technician, "once-1", work_waits=True)
    page = bench.get(reverse("bench_job", args=[job.ref])).content.decode()
    assert page.index("Note what they said") < page.index("Post a finding")
