"""Answering a question of ours, on the customer's pages."""

import pytest
from django.urls import reverse

from jobs.actions.enquiring import drop_enquiry, enquire
from tests.once import made_once

QUESTION = "Shall the <b>dent</b> stay?"


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, "examining")


@pytest.fixture
def asked(cast, job):
    return enquire(job, QUESTION, cast.technician, "once-1", work_waits=True)


@pytest.fixture
def visitor(client, job, asked):
    from jobs.actions.linking import issue_link

    client.get(reverse("open_link", args=[issue_link(job)]))
    return client


def address(job, asked) -> str:
    return reverse("my_answer", args=[job.ref, asked.pk])


def test_their_page_asks_them_before_anything_else(visitor, job):
    page = visitor.get(reverse("my", args=[job.ref])).content.decode()
    assert "Shall the &lt;b&gt;dent&lt;/b&gt; stay?" in page
    assert "Answer our question" in page
    assert page.index("We ask you") < page.index("Whose move it was")


def test_an_answer_goes_to_the_bench_and_is_shown_back_to_them(visitor, job, asked):
    answer = visitor.post(address(job, asked), {"answer": "Yes."}, follow=True)
    asked.refresh_from_db()
    assert asked.answer == "Yes."
    page = answer.content.decode()
    assert "Your answer is at the bench" in page
    assert "Answer our question" not in page


def test_an_empty_answer_gets_a_sentence_beside_the_field_and_changes_nothing(visitor, job, asked):
    answer = visitor.post(address(job, asked), {"answer": " "})
    assert answer.status_code == 422
    assert "Write your answer first." in answer.content.decode()
    asked.refresh_from_db()
    assert asked.is_open


def test_a_question_that_is_closed_by_now_says_so(visitor, cast, job, asked):
    drop_enquiry(asked, cast.technician)
    answer = visitor.post(address(job, asked), {"answer": "Yes."})
    assert answer.status_code == 422
    assert "We took this question back. You need not answer it." in answer.content.decode()


def test_whoever_comes_for_a_question_that_was_taken_back_is_told_so_first(visitor, cast, job, asked):
    drop_enquiry(asked, cast.technician)
    page = visitor.get(reverse("my", args=[job.ref])).content.decode()
    told = "We no longer need your answer to: “Shall the &lt;b&gt;dent&lt;/b&gt; stay?”"
    assert told in page[: page.index('class="do"')]


def test_once_something_newer_happened_a_question_that_was_taken_back_is_history(visitor, cast, job, asked):
    drop_enquiry(asked, cast.technician)
    enquire(job, "What film?", cast.technician, "once-3")
    page = visitor.get(reverse("my", args=[job.ref])).content.decode()
    assert "We no longer need" not in page[: page.index('class="do"')]


def test_a_question_of_another_job_cannot_be_answered(visitor, cast, job):
    other = enquire(cast.another_book(), "What film?", cast.technician, "once-2")
    assert visitor.post(address(job, other), {"answer": "Yes."}).status_code == 404
    other.refresh_from_db()
    assert other.is_open


def test_the_page_of_questions_keeps_both_sides(visitor, job, asked):
    visitor.post(address(job, asked), {"answer": "Yes, it tells its age."})
    page = visitor.get(reverse("my_questions", args=[job.ref])).content.decode()
    assert "Yes, it tells its age." in page
    assert "Send the answer" not in page
    assert "Send the question" in page


def test_answered_questions_of_ours_stand_under_a_heading(visitor, job, asked):
    visitor.post(address(job, asked), {"answer": "Yes, it tells its age."})
    page = visitor.get(reverse("my", args=[job.ref])).content.decode()
    assert page.index("Questions and answers") < page.rindex("Yes, it tells its age.")


def test_while_a_question_of_ours_waits_one_button_stands_out(visitor, job):
    page = visitor.get(reverse("my_questions", args=[job.ref])).content.decode()
    assert page.count('<button class="act">') == 1
    assert '<button class="plain">Send the question</button>' in page
