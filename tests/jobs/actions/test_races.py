"""Two at once, with real threads on a real database: one wins, the other is told, nothing is half done."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier
from typing import Any

import pytest
from django.db import connection
from django.utils import timezone

from jobs import journal
from jobs.accounts import account
from jobs.actions import asking, leaving, paying, quote, trying, working
from jobs.actions.deciding import Answer, AnsweredBefore, Decided, Lapsed, Replaced, decide
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


def test_of_two_devices_that_answer_differently_one_answer_stands_whole(cast: Cast) -> None:
    """Two devices: the one that comes second is shown what stands, and its lines are not mixed with the first one's."""
    sent = cast.job_at(Stage.QUOTED).quotes.get()
    needed, optional, _post = sent.lines.all()
    by = Actor.customer(sent.job.customer)

    def say(*yes: int) -> Callable[[], Any]:
        answer = Answer(sent.shown_hash, yes, "Orla Fennimore", "I agree.")
        return lambda: decide(Quote.objects.select_related("job").get(pk=sent.pk), answer, by)

    results = at_once(say(needed.pk), say(needed.pk, optional.pk))
    assert sorted(type(result).__name__ for result in results) == ["AnsweredBefore", "Decided"]
    first = next(result.decision for result in results if isinstance(result, Decided))
    second = next(result.decision for result in results if isinstance(result, AnsweredBefore))
    assert first == second == Decision.objects.get()
    assert first.gross == (9700 if first.choices.get(line=optional).yes is False else 13900)
    assert journal.verify(Job.objects.get()) is None


def test_an_answer_in_the_second_in_which_a_quote_lapses_wins_or_loses_whole(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    sent = job.quotes.get()
    yesterday = timezone.localdate() - timedelta(days=1)

    def past_its_day() -> bool:
        Quote.objects.filter(pk=sent.pk, state="open").update(valid_until=yesterday)
        return quote.lapse(sent)

    answered, lapsed = at_once(answering(sent), past_its_day)
    sent.refresh_from_db()
    job.refresh_from_db()
    if isinstance(answered, Decided):
        assert (lapsed, sent.state, job.stage) == (False, "answered", Stage.AGREED)
    else:
        assert isinstance(answered, Lapsed)
        assert (sent.state, job.stage) == ("lapsed", Stage.QUOTED)
        assert not Decision.objects.exists()
    assert job.entries.filter(kind__in=["decided", "quote_lapsed"]).count() == 1
    assert journal.verify(job) is None


def test_of_two_answers_to_one_thing_more_one_is_added(cast: Cast) -> None:
    job = cast.job_at(Stage.IN_WORK)
    draft = quote.draft_quote(job)
    line = quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    sent = quote.send_quote(draft, cast.technician)
    answer = Answer(sent.shown_hash, [line.pk], "Orla Fennimore", "I agree.")
    by = Actor.customer(job.customer)
    results = at_once(*[lambda: decide(Quote.objects.select_related("job").get(pk=sent.pk), answer, by)] * 3)
    assert sorted(type(result).__name__ for result in results) == ["AnsweredBefore"] * 2 + ["Decided"]
    assert account(job).agreed == 9700 + 2800


def test_of_two_devices_that_note_one_payment_one_does(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    paid = paying.Paid("payment", "card", 9700, timezone.localdate())
    results = at_once(*[lambda: paying.note_payment(job, paid, "the-same-form", cast.technician)] * 4)
    assert len({payment.pk for payment in results}) == 1
    assert account(job).paid == 9700
    assert job.entries.filter(kind="paid").count() == 1


def test_it_does_not_leave_unpaid_in_the_second_in_which_a_payment_is_taken_back(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    paid = paying.Paid("payment", "card", 9700, timezone.localdate())
    payment = paying.note_payment(job, paid, "once", cast.technician)
    sent, undone = at_once(
        lambda: working.send_back(job, cast.technician),
        lambda: paying.undo_payment(payment, "Wrong job", cast.technician),
    )
    job.refresh_from_db()
    assert undone is None
    assert (job.stage == Stage.READY) == isinstance(sent, Refused)
    assert journal.verify(job) is None


def test_of_two_technicians_who_note_different_outcomes_one_is_kept(cast: Cast) -> None:
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    ways = (quote.OutcomeDraft("It holds"), quote.OutcomeDraft("It breaks", stops=True))
    line = quote.put_line(draft, quote.LineDraft("work", "needed", "Bend it back", 1000, outcomes=ways))
    sent = quote.send_quote(draft, cast.technician)
    cast.agree(sent)
    working.start_work(sent.job, cast.technician)
    results = at_once(
        *[lambda way=way: trying.note_outcome(line, way, cast.technician) for way in line.outcomes.all()]
    )
    assert sorted(type(result).__name__ for result in results) == ["Refused", "Tried"]
    assert sent.job.entries.filter(kind="tried").count() == 1


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
