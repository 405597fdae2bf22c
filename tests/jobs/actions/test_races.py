"""Two at once, with real threads on a real database: one wins, the other is told, nothing is half done."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

import pytest
from django.db import connection

from jobs import journal
from jobs.actions import asking, leaving, quote, working
from jobs.actions.deciding import Answer, AnsweredBefore, Decided, Replaced, decide
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Decision, Job, Quote
from jobs.words import Stage
from tests.cast import Cast

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*calls: Callable[[], Any]) -> list[Any]:
    """Start all calls on one beat, each on a connection of its own; a Refused is a result, any other error is ours."""
    start = Barrier(len(calls))

    def run(call: Callable[[], Any]) -> Any:
        start.wait()
        try:
            return call()
        except Refused as refused:
            return refused
        finally:
            connection.close()

    with ThreadPoolExecutor(len(calls)) as pool:
        return list(pool.map(run, calls))


def answering(sent: Quote) -> Callable[[], Any]:
    line = sent.lines.first()
    assert line
    answer = Answer(sent.shown_hash, [line.pk], "Orla Fennimore", "I agree.")
    by = Actor.customer(sent.job.customer)
    return lambda: decide(Quote.objects.select_related("job").get(pk=sent.pk), answer, by)


def test_of_two_presses_one_is_the_answer(cast: Cast) -> None:
    sent = cast.job_at(Stage.QUOTED).quotes.get()
    results = at_once(*[answering(sent)] * 4)
    assert sorted(type(result).__name__ for result in results) == ["AnsweredBefore"] * 3 + ["Decided"]
    assert Decision.objects.count() == 1


def test_an_answer_against_a_new_quote_is_never_half_done(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    sent, draft = job.quotes.get(), quote.draft_quote(job)
    answered, replaced = at_once(answering(sent), lambda: quote.send_quote(draft, cast.technician))
    states = set(job.quotes.values_list("state", flat=True))
    if isinstance(answered, Decided):
        assert isinstance(replaced, Refused)
        assert states == {"answered", "draft"}
    else:
        assert isinstance(answered, Replaced)
        assert states == {"replaced", "open"}
    assert journal.verify(Job.objects.get(pk=job.pk)) is None


def test_an_answer_against_a_withdrawal_leaves_one_of_them(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    answered, _ = at_once(answering(job.quotes.get()), lambda: leaving.withdraw(job, cast.technician))
    job.refresh_from_db()
    assert job.stage == Stage.WITHDRAWN
    assert isinstance(answered, Decided | Replaced | AnsweredBefore)
    assert journal.verify(job) is None


def test_many_questions_at_once_all_stand_in_an_unbroken_chain(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    by = Actor.customer(job.customer)
    before = job.last_seq
    at_once(*[lambda n=n: asking.ask(job, f"Question {n}", by, f"once-{n}") for n in range(8)])
    job = Job.objects.get(pk=job.pk)
    assert (job.questions.count(), job.last_seq) == (8, before + 8)
    assert journal.verify(job) is None


def test_one_form_sent_by_two_taps_asks_once(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    by = Actor.customer(job.customer)
    at_once(*[lambda: asking.ask(job, "Twice?", by, "once-same")] * 4)
    assert job.questions.count() == 1


def test_of_two_technicians_one_begins_the_work(cast: Cast) -> None:
    job = cast.job_at(Stage.AGREED)
    results = at_once(*[lambda: working.start_work(job, cast.technician)] * 2)
    assert sorted(type(result).__name__ for result in results) == ["NoneType", "Refused"]
    assert job.entries.filter(kind="work_started").count() == 1
