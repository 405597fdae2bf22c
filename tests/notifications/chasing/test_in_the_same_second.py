"""An act of the customer and a nudge in the same moment, in both orders, by two threads with connections of their own."""

import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any
from unittest.mock import patch

import pytest
from django.db import connection
from django.utils import timezone

from jobs import journal
from jobs.actions import asking, enquiring
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Entry, Kind
from notifications import chasing, deliver, relay
from notifications.chasing import keeping
from notifications.models import Letter, Owing
from tests.cast import Cast, make_cast

pytestmark = pytest.mark.django_db(transaction=True)
Act = Callable[[], object]
PATIENCE = 30  # seconds after which a test gives up waiting; nothing is measured


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    return make_cast(work_days=[0, 1, 2, 3, 4])


def in_a_thread(act: Act) -> threading.Thread:
    def run() -> None:
        try:
            act()
        finally:
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    return thread


def one_inside_the_other(first: Act, kind: Kind, second: Act) -> None:
    """Begin `second` while `first` is about to write its entry of `kind` and holds the job's lock."""
    append, writing, may_go_on = journal.append, threading.Event(), threading.Event()

    def slowly(job: Any, what: Kind, *more: Any) -> Entry:
        if what == kind and not writing.is_set():
            writing.set()
            may_go_on.wait(PATIENCE)
        return append(job, what, *more)

    with patch.object(journal, "append", slowly):
        one = in_a_thread(first)
        assert writing.wait(PATIENCE)
        begun = threading.Event()

        def begin() -> None:
            begun.set()
            second()

        other = in_a_thread(begin)
        begun.wait(PATIENCE)
        other.join(0.3)  # it may get as far as it can, which is the lock
        assert other.is_alive()
        may_go_on.set()
        one.join(PATIENCE)
        other.join(PATIENCE)
    assert not one.is_alive()
    assert not other.is_alive()


def sweep() -> int:
    return chasing.nudge_all_due(datetime.now(UTC))


def kinds(job: Any) -> list[str]:
    return list(Entry.objects.filter(job=job).order_by("seq").values_list("kind", flat=True))


# Each makes something owed that is due, and says what settles it and with which entry.
def a_quote(cast: Cast) -> tuple[Any, Act, Kind]:
    job = cast.job_at("quoted")
    return job, lambda: cast.agree(job.quotes.get()), Kind.DECIDED


def a_question(cast: Cast) -> tuple[Any, Act, Kind]:
    job = cast.job_at("in_work")
    asked = enquiring.enquire(job, "Which film?", cast.technician, "ask-1")
    return (
        job,
        lambda: enquiring.answer_enquiry(asked, "Slide.", Actor.customer(job.customer)),
        Kind.ENQUIRY_ANSWERED,
    )


def a_payment(cast: Cast) -> tuple[Any, Act, Kind]:
    job = cast.job_at("ready")
    return job, lambda: cast.pay(job), Kind.PAID


def to_collect(cast: Cast) -> tuple[Any, Act, Kind]:
    job = cast.job_at("ready", return_by="collect")
    cast.pay(job)
    return job, lambda: cast.send_back(job), Kind.SENT_BACK


OWED = pytest.mark.parametrize("owed", [a_quote, a_question, a_payment, to_collect])


@OWED
def test_an_act_that_comes_first_stops_the_nudge(cast, go_to, owed):
    job, act, kind = owed(cast)
    go_to(9)
    keeping.refresh_all()
    one_inside_the_other(act, kind, sweep)
    assert kind in kinds(job)
    assert Kind.NUDGED not in kinds(job)
    assert not Owing.objects.filter(job=job).exists()


@OWED
def test_an_act_that_comes_after_the_nudge_stops_its_letter(cast, go_to, owed):
    job, act, kind = owed(cast)
    go_to(9)
    keeping.refresh_all()
    one_inside_the_other(sweep, Kind.NUDGED, act)
    assert [each for each in kinds(job) if each in (Kind.NUDGED, kind)] == [Kind.NUDGED, kind]
    relay.run()
    letter = Letter.objects.get(job=job, entry__kind=Kind.NUDGED, person=job.customer)
    assert (letter.state, letter.why) == ("skipped", "They no longer owe it.")


def test_an_act_after_the_letter_was_written_stops_its_sending(cast, go_to, mail_to_sink):
    job, act, _kind = a_quote(cast)
    go_to(9)
    keeping.refresh_all()
    sweep()
    relay.run()
    act()
    letter = Letter.objects.get(job=job, kind="nudged")
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=timezone.now())
    assert deliver.deliver(letter.pk) == "skipped"
    assert mail_to_sink.letters == []


def test_a_question_of_theirs_in_the_same_second_stops_the_nudge(cast, go_to):
    job, _act, _kind = a_quote(cast)
    go_to(9)
    keeping.refresh_all()
    one_inside_the_other(
        lambda: asking.ask(job, "Must it be now?", Actor.customer(job.customer), "once-1"), Kind.ASKED, sweep
    )
    assert Kind.NUDGED not in kinds(job)


def test_two_sweeps_and_two_presses_at_once_nudge_once(cast, go_to):
    job, _act, _kind = a_quote(cast)
    go_to(9)
    keeping.refresh_all()
    start = threading.Barrier(4)

    def at_once(act: Act) -> None:
        start.wait(PATIENCE)
        with suppress(Refused):
            act()

    def press() -> object:
        return chasing.nudge(job, cast.owner)

    threads = [in_a_thread(lambda act=act: at_once(act)) for act in (sweep, press, sweep, press)]
    for thread in threads:
        thread.join(PATIENCE)
    assert kinds(job).count(Kind.NUDGED) == 1


def test_however_the_two_fall_no_nudge_stands_after_the_answer(cast, go_to):
    for _ in range(3):
        job, act, kind = a_quote(cast)
        go_to(9)
        keeping.refresh_all()
        start = threading.Barrier(2)

        def at_once(act, start=start) -> None:
            start.wait(PATIENCE)
            act()

        threads = [in_a_thread(lambda each=each: at_once(each)) for each in (act, sweep)]
        for thread in threads:
            thread.join(PATIENCE)
        found = kinds(job)
        assert kind in found
        assert Kind.NUDGED not in found[found.index(kind) :]
        go_to(0)
