"""Our questions to the customer."""

import threading

import pytest
from django.db import connection

from jobs import timeline
from jobs.actions import arriving, working
from jobs.actions.enquiring import answer_enquiry, drop_enquiry, enquire
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Enquiry, Job, Kind
from jobs.words import Holder
from tests.cast import make_cast
from tests.once import made_once

QUESTION = "Shall the dent in the rim stay?"


@pytest.fixture
def job(cast) -> Job:
    return made_once(cast.job_at, "examining")


def ask(cast, job, once="once-1", **more) -> Enquiry:
    return enquire(job, QUESTION, cast.technician, once, **more)


def answer(job, asked, text="Yes, it tells its age.") -> Enquiry:
    return answer_enquiry(asked, text, Actor.customer(job.customer))


def test_a_question_that_the_work_waits_for_makes_it_their_move_and_the_answer_makes_it_ours(cast, job):
    asked = ask(cast, job, work_waits=True)
    assert job.holder == Holder.CUSTOMER
    assert "It goes on once you answer." in job.next_words
    answer(job, asked)
    job.refresh_from_db()
    assert job.holder == Holder.WORKSHOP


def test_a_question_beside_the_work_leaves_the_move_where_it_is(cast, job):
    ask(cast, job)
    assert job.holder == Holder.WORKSHOP


def test_of_two_questions_that_the_work_waits_for_both_have_to_be_answered(cast, job):
    first, second = ask(cast, job, work_waits=True), ask(cast, job, "once-2", work_waits=True)
    answer(job, first)
    job.refresh_from_db()
    assert job.holder == Holder.CUSTOMER
    drop_enquiry(second, cast.technician)
    job.refresh_from_db()
    assert job.holder == Holder.WORKSHOP


def test_work_that_waits_goes_on_waiting_at_the_next_stage(cast):
    job = cast.job_at("arrived")
    asked = ask(cast, job, work_waits=True)
    arriving.start_examination(job, cast.technician)
    assert job.holder == Holder.CUSTOMER
    answer(job, asked)
    job.refresh_from_db()
    assert job.holder == Holder.WORKSHOP


def test_a_part_that_comes_while_we_wait_for_their_word_leaves_it_their_move(cast):
    job = cast.job_at("agreed")
    asked = ask(cast, job, work_waits=True)
    working.await_part(job, "Rewind fork", cast.technician)
    assert job.holder == Holder.CUSTOMER
    answer(job, asked)
    job.refresh_from_db()
    assert job.holder == Holder.SUPPLIER


@pytest.mark.parametrize("stage", ["expected", "quoted", "ready"])
def test_where_it_is_not_our_work_that_waits_a_question_changes_nobodys_move(cast, stage):
    job = cast.job_at(stage)
    held = job.holder
    asked = ask(cast, job, work_waits=True)
    job.refresh_from_db()
    assert (job.holder, asked.work_waits) == (held, False)


def test_a_question_is_answered_once(cast, job):
    asked = ask(cast, job)
    answer(job, asked)
    with pytest.raises(Refused, match="answered already"):
        answer(job, asked, "No!")
    asked.refresh_from_db()
    assert asked.answer == "Yes, it tells its age."


def test_a_question_that_was_taken_back_needs_no_answer_and_takes_none(cast, job):
    asked = ask(cast, job)
    drop_enquiry(asked, cast.technician)
    with pytest.raises(Refused, match="took this question back"):
        answer(job, asked)
    with pytest.raises(Refused, match="took this question back"):
        drop_enquiry(asked, cast.technician)


def test_an_answered_question_cannot_be_taken_back(cast, job):
    asked = ask(cast, job)
    answer(job, asked)
    with pytest.raises(Refused, match="answered already"):
        drop_enquiry(asked, cast.technician)


@pytest.mark.parametrize("text", ["", "  \n"])
def test_nothing_is_no_question_and_no_answer(cast, job, text):
    with pytest.raises(Refused, match="Write the question"):
        enquire(job, text, cast.technician, "once-1")
    asked = ask(cast, job)
    with pytest.raises(Refused, match="Write the answer"):
        answer(job, asked, text)


def test_the_same_form_sent_twice_asks_once(cast, job):
    assert ask(cast, job) == ask(cast, job)
    assert job.entries.filter(kind=Kind.ENQUIRED).count() == 1


def test_a_form_of_one_job_cannot_ask_about_another(cast, job):
    ask(cast, job)
    with pytest.raises(Refused, match="used before"):
        ask(cast, cast.another_book())


def test_a_job_that_is_over_takes_no_question(cast):
    with pytest.raises(Refused, match="over"):
        ask(cast, cast.job_at("returned"))


def test_the_timeline_tells_question_and_answer_in_their_words(cast, job):
    answer(job, ask(cast, job, work_waits=True))
    lines = [line.words for turn in timeline.turns(job.entries.order_by("seq")) for line in turn.lines]
    assert lines[:2] == ["You answered: “Yes, it tells its age.”", f"We asked you: “{QUESTION}”"]


@pytest.mark.django_db(transaction=True)
def test_of_an_answer_and_a_taking_back_in_the_same_second_one_wins_whole():
    cast = make_cast()
    job = cast.job_at("examining")
    asked = ask(cast, job, work_waits=True)
    start, refused = threading.Barrier(2), []

    def act(what) -> None:
        start.wait()
        try:
            what()
        except Refused as said:
            refused.append(said.sentence)
        finally:
            connection.close()

    both = [
        threading.Thread(target=act, args=[lambda: answer(job, Enquiry.objects.get(pk=asked.pk))]),
        threading.Thread(
            target=act, args=[lambda: drop_enquiry(Enquiry.objects.get(pk=asked.pk), cast.technician)]
        ),
    ]
    for each in both:
        each.start()
    for each in both:
        each.join()
    asked.refresh_from_db()
    assert len(refused) == 1
    assert (asked.answered_at is None) != (asked.dropped_at is None)
    assert job.entries.filter(kind__in=[Kind.ENQUIRY_ANSWERED, Kind.ENQUIRY_DROPPED]).count() == 1
