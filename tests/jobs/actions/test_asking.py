import pytest

from jobs.actions import asking
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Job
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.QUOTED)


def ask(job: Job, text: str = "Will it scratch?", once: str = "once-1", about: asking.Subject = None):  # type: ignore[no-untyped-def]
    return asking.ask(job, text, Actor.customer(job.customer), once, about)


def test_a_question_goes_to_the_bench_unanswered(job: Job) -> None:
    ask(job)
    assert job.questions.unanswered().count() == 1


def test_the_same_form_sent_twice_asks_once(job: Job) -> None:
    assert ask(job) == ask(job)
    assert job.entries.filter(kind="asked").count() == 1


def test_a_question_may_be_about_a_finding_or_a_line(job: Job) -> None:
    assert ask(job, about=job.findings.get(), once="a").about == "A screw had dropped among the gears"
    assert ask(job, about=job.quotes.get().lines.first(), once="b").about == "Free the winding gears"


def test_an_empty_question_is_refused(job: Job) -> None:
    with pytest.raises(Refused):
        ask(job, "   ")


def test_the_answer_comes_back_with_who_gave_it(cast: Cast, job: Job) -> None:
    answered = asking.answer(ask(job), "No.", cast.technician)
    assert (answered.answer, answered.answered_by) == ("No.", "Jory Pell")


def test_nobodys_answer_is_written_over(cast: Cast, job: Job) -> None:
    question = ask(job)
    asking.answer(question, "No.", cast.technician)
    with pytest.raises(Refused):
        asking.answer(question, "Yes.", cast.owner)
    question.refresh_from_db()
    assert question.answer == "No."
