"""Quotes that were sent become waits: when each ended and how, what calls did, and when they are counted again."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs import answers_past, journal
from jobs.actions import leaving, quote
from jobs.actor import Actor
from jobs.demo.clock import standing_at
from jobs.models import Enquiry, Job, Kind
from jobs.waiting import Calls, Wait
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def fresh_memory() -> None:
    answers_past._kept.clear()


def quoted(cast: Cast, days_ago: int, valid: int = 28) -> Job:
    """A job whose quote was sent so many days ago at noon, good for `valid` days from then."""
    with standing_at(days_ago, 12):
        job = cast.job_at("examining")
        cast.send_quote(job, valid_until=timezone.localdate() + timedelta(days=valid))
    return job


def answer(cast: Cast, job: Job, days_ago: int, yes: bool = True) -> None:
    with standing_at(days_ago, 13):
        cast.agree(job.quotes.open().get(), yes=None if yes else [])


def call(cast: Cast, job: Job, days_ago: int) -> None:
    with standing_at(days_ago, 12.5):
        journal.append(job, Kind.CALLED, cast.owner, {"text": "Rang."})


def waits() -> list[Wait]:
    """As they were handed to the reckoning, the shortest first."""
    told: list[Wait] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(answers_past, "pace", lambda each: told.extend(each))
        answers_past.gather()
    return sorted(told, key=lambda wait: wait.days)


@pytest.mark.parametrize("yes", [True, False])
def test_yes_and_no_are_answers_alike(cast: Cast, yes: bool) -> None:
    answer(cast, quoted(cast, 9), 5, yes)
    assert waits() == [Wait(4, True)]


def test_an_answer_an_hour_later_has_waited_no_day(cast: Cast) -> None:
    answer(cast, quoted(cast, 3), 3)
    assert waits() == [Wait(0, True)]


def test_a_quote_that_is_open_waits_still(cast: Cast) -> None:
    quoted(cast, 6)
    assert waits() == [Wait(6, False)]


def test_nobody_is_known_to_have_waited_longer_than_the_quote_was_good(cast: Cast) -> None:
    job = quoted(cast, 20, valid=10)
    assert waits() == [Wait(10, False)]
    assert quote.lapse(job.quotes.get())
    assert waits() == [Wait(10, False)]


def test_a_quote_that_was_replaced_waited_until_then_and_the_new_one_begins_anew(cast: Cast) -> None:
    job = quoted(cast, 12)
    with standing_at(7, 12):
        quote.send_quote(quote.draft_quote(job), cast.technician)
    answer(cast, job, 5)
    assert waits() == [Wait(2, True), Wait(5, False)]


def test_a_quote_that_we_took_back_waited_until_then(cast: Cast) -> None:
    job = quoted(cast, 12)
    with standing_at(9, 12):
        quote.take_back_quote(job, cast.technician)
    assert waits() == [Wait(3, False)]


def test_a_quote_that_is_offered_again_is_a_wait_of_its_own(cast: Cast) -> None:
    job = quoted(cast, 20, valid=10)
    with standing_at(8, 12):
        quote.lapse(job.quotes.get())
        quote.renew(job, cast.owner)
    answer(cast, job, 6)
    assert waits() == [Wait(2, True), Wait(10, False)]


def test_who_takes_it_back_as_it_is_has_answered(cast: Cast) -> None:
    job = quoted(cast, 12)
    with standing_at(8, 12):
        leaving.withdraw(job, Actor.customer(job.customer))
    assert waits() == [Wait(4, True)]


def test_a_job_that_we_ended_was_never_answered(cast: Cast) -> None:
    job = quoted(cast, 12)
    with standing_at(8, 12):
        leaving.withdraw(job, cast.technician)
    assert waits() == [Wait(4, False)]


def test_a_draft_waits_for_nobody(cast: Cast) -> None:
    quote.draft_quote(cast.job_at("examining"))
    assert waits() == []


def enquire(job: Job, days_ago: int, answered: int | None = None, dropped: int | None = None) -> None:
    days = (days_ago, answered, dropped)
    asked_at, answered_at, dropped_at = (
        timezone.now() - timedelta(days=day) if day is not None else None for day in days
    )
    Enquiry.objects.create(
        job=job,
        text="Which film did you use?",
        asked_at=asked_at,
        answered_at=answered_at,
        dropped_at=dropped_at,
        once=f"once-{Enquiry.objects.count()}",
    )


def test_our_own_questions_are_waited_for_alike(cast: Cast) -> None:
    job = cast.job_at("examining")
    enquire(job, 9, answered=7)
    enquire(job, 9, dropped=4)
    enquire(job, 9)
    assert waits() == [Wait(2, True), Wait(5, False), Wait(9, False)]


def test_what_came_by_itself_is_known_only_until_we_rang(cast: Cast) -> None:
    job = quoted(cast, 12)
    call(cast, job, 5)
    answer(cast, job, 3)
    assert waits() == [Wait(7, False)]
    assert answers_past.gather().calls == Calls(1, 1)


def test_an_answer_before_the_call_came_by_itself(cast: Cast) -> None:
    job = quoted(cast, 12)
    answer(cast, job, 9)
    call(cast, job, 5)
    assert waits() == [Wait(3, True)]
    assert answers_past.gather().calls == Calls()


@pytest.mark.parametrize(
    ("rang", "answered", "counted"),
    [
        (20, 13, Calls(1, 1)),
        (20, 12, Calls(1, 0)),
        (20, None, Calls(1, 0)),
        (8, None, Calls(1, 0)),
        (7, None, Calls()),
    ],
)
def test_a_call_is_counted_once_its_week_is_over_or_the_answer_is_there(
    cast: Cast, rang: int, answered: int | None, counted: Calls
) -> None:
    job = quoted(cast, 25)
    call(cast, job, rang)
    if answered:
        answer(cast, job, answered)
    assert answers_past.gather().calls == counted


def test_a_call_about_something_else_is_no_call_for_an_answer(cast: Cast) -> None:
    with standing_at(30, 12):
        job = cast.job_at("examining")
    call(cast, job, 20)
    assert answers_past.gather().calls == Calls()


def test_our_own_past_moves_the_guess(cast: Cast) -> None:
    before = answers_past.past()
    for _ in range(3):
        answer(cast, quoted(cast, 9), 4)
    after = answers_past.past()
    assert (before.waits, after.waits) == (0, 3)
    assert after.pace.hazard(5) > before.pace.hazard(5)
    assert [step.day for step in after.curve] == [5]


def test_what_is_older_than_a_thousand_quotes_is_forgotten_whatever_became_of_it(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answers_past, "MOST", 2)
    answer(cast, quoted(cast, 30), 20)
    answer(cast, quoted(cast, 15), 13)
    quoted(cast, 3)
    assert answers_past.gather().waits == 2
    assert [step.day for step in answers_past.gather().curve] == [2]


def test_between_answers_it_is_gathered_once_a_day(cast: Cast, django_assert_num_queries) -> None:
    answer(cast, quoted(cast, 9), 5)
    answers_past.past()
    with django_assert_num_queries(1):
        assert answers_past.past().waits == 1
    answer(cast, quoted(cast, 9), 5)
    assert answers_past.past().waits == 2


def test_many_quotes_cost_as_many_questions_as_one(cast: Cast) -> None:
    asked = []
    for _ in range(3):
        job = quoted(cast, 9)
        quote.send_quote(quote.draft_quote(job), cast.technician)
        call(cast, job, 4)
        with CaptureQueriesContext(connection) as caught:
            answers_past.gather()
        asked.append(len(caught))
    assert asked == [7, 7, 7]
