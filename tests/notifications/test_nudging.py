"""Nudges: due on or after the day, once a step, never after an answer, never while a question waits."""

import threading
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from jobs.actions import asking
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Entry, Kind, Question, Quote
from notifications import deliver, nudging, relay
from notifications.models import Letter, Nudge
from tests.cast import make_cast
from tests.notifications.scenes import age_quote, letter_of


@pytest.fixture
def job(cast):
    return cast.job_at("quoted")


@pytest.fixture
def quote(job):
    return job.quotes.get()


def after(days: float, quote: Quote) -> int:
    """How many nudges go out when the sweep runs so many days after the quote."""
    return nudging.nudge_all_due(quote.sent_at + timedelta(days=days))


def steps(quote: Quote) -> list[int]:
    return list(Nudge.objects.filter(quote=quote).values_list("step", flat=True))


def put_question(job, **more):
    return asking.ask(job, "Must it be now?", Actor.customer(job.customer), more.get("once", "once-1"))


@pytest.mark.parametrize(("days", "sent"), [(0, 0), (2, 0), (3, 1), (4, 1), (6, 1)])
def test_the_first_nudge_is_due_on_its_day_or_after(quote, days, sent):
    assert after(days, quote) == sent


def test_each_step_happens_once(quote):
    for day in range(20):
        after(day, quote)
        after(day, quote)
    assert steps(quote) == [1, 2, 3]


def test_after_days_of_standing_still_one_nudge_goes_out_and_not_three(quote):
    assert after(15, quote) == 1
    assert steps(quote) == [3]
    assert after(16, quote) == 0


def test_the_day_is_the_workshops_day(cast, job, quote, time_machine):
    """Sent at 23:30 in Saltmere: three hours later it is the next day there."""
    Quote.objects.update(sent_at="2026-07-01T22:30:00Z", valid_until="2026-08-30")
    quote.refresh_from_db()
    cast.workshop.nudge_days = [1]
    cast.workshop.save()
    assert after(3 / 24, quote) == 1


def test_no_nudge_after_the_answer(cast, quote):
    cast.agree(quote)
    assert after(30, quote) == 0


def test_no_nudge_for_a_quote_that_was_replaced(cast, job, quote):
    cast.send_quote(job)
    assert after(2, quote) == 0
    assert steps(quote) == []


def test_no_nudge_once_the_last_day_has_passed(quote):
    assert after(40, quote) == 0


def test_no_nudge_while_a_question_of_theirs_waits(job, quote):
    put_question(job)
    assert after(10, quote) == 0
    assert nudging.chase_of(job).paused


def test_days_on_which_a_question_waited_do_not_count(cast, job, quote):
    asking.answer(put_question(job), "No.", cast.technician)
    asked = quote.sent_at + timedelta(days=1)
    Question.objects.update(asked_at=asked, answered_at=asked + timedelta(days=4))
    assert after(6, quote) == 0
    assert after(7, quote) == 1


def test_two_questions_at_once_do_not_count_twice(cast, job, quote):
    for once in ("once-1", "once-2"):
        asking.answer(put_question(job, once=once), "No.", cast.technician)
    asked = quote.sent_at + timedelta(days=1)
    Question.objects.update(asked_at=asked, answered_at=asked + timedelta(days=4))
    assert after(7, quote) == 1


def test_nobody_is_nudged_on_the_day_of_our_own_answer(cast, job, quote):
    asking.answer(put_question(job), "No.", cast.technician)
    Question.objects.update(asked_at=quote.sent_at, answered_at=quote.sent_at + timedelta(hours=1))
    Question.objects.update(
        answered_at=quote.sent_at + timedelta(days=9), asked_at=quote.sent_at + timedelta(days=9)
    )
    assert after(9, quote) == 0
    assert after(10, quote) == 1


def test_an_answer_that_comes_between_the_look_and_the_lock_stops_the_nudge(cast, quote):
    due = nudging.nudges_due(quote.sent_at + timedelta(days=5))
    assert due == [quote]
    cast.agree(quote)
    assert nudging._nudge_if_due(due[0], quote.sent_at + timedelta(days=5)) is False


def test_a_question_that_comes_between_the_look_and_the_lock_stops_the_nudge(job, quote):
    due = nudging.nudges_due(quote.sent_at + timedelta(days=5))
    put_question(job)
    assert nudging._nudge_if_due(due[0], quote.sent_at + timedelta(days=5)) is False


def test_an_answer_after_the_nudge_was_written_stops_its_letter(cast, job, quote):
    after(3, quote)
    relay.run()
    cast.agree(quote)
    assert deliver.deliver(letter_of(job, "nudged").pk) == "skipped"


def test_a_nudge_is_an_entry_of_the_journal_and_a_letter(job, quote):
    after(3, quote)
    relay.run()
    entry = Entry.objects.get(job=job, kind=Kind.NUDGED)
    assert (entry.data["step"], entry.data["about"], entry.by_kind) == (1, "quote", "house")
    assert letter_of(job, "nudged").state == "waiting"


def test_after_the_last_step_the_office_is_told_to_ring(job, quote):
    for day in (3, 7, 14):
        after(day, quote)
        relay.run()
    assert letter_of(job, "staff_call").to_address == "bench@tidewater.example"
    assert "01632 960142" in letter_of(job, "staff_call").text
    assert nudging.chase_of(job).call


def test_before_the_last_step_nobody_is_told_to_ring(job, quote):
    after(3, quote)
    relay.run()
    assert not Letter.objects.filter(kind="staff_call").exists()
    chase = nudging.chase_of(job)
    assert (chase.sent, chase.steps, chase.call) == (1, 3, False)


def test_where_the_chasing_stands_names_the_next_day(job, quote):
    chase = nudging.chase_of(job)
    assert chase.next_on == timezone.localdate(quote.sent_at) + timedelta(days=3)


def test_a_job_without_an_open_quote_is_not_chased(cast):
    assert nudging.chase_of(cast.job_at("agreed")) is None


def test_the_three_letters_have_three_tones(job, quote):
    tones = []
    for day in (3, 7, 14):
        after(day, quote)
        relay.run()
        tones.append(Letter.objects.filter(kind="nudged").latest("pk").text.split("Dear Orla,")[1][:60])
    assert len(set(tones)) == 3


def test_one_press_sends_one_nudge_and_takes_the_place_of_the_next_step(cast, job, quote):
    nudging.nudge(job, cast.owner)
    assert steps(quote) == [1]
    assert after(3, quote) == 0
    assert after(7, quote) == 1


def test_a_second_press_is_refused_and_says_when_the_first_was(cast, job):
    nudging.nudge(job, cast.owner)
    with pytest.raises(Refused, match="went out at"):
        nudging.nudge(job, cast.owner)


def test_nobody_can_be_nudged_who_owes_nothing(cast):
    with pytest.raises(Refused, match="no quote that waits"):
        nudging.nudge(cast.job_at("arrived"), cast.owner)


def test_nobody_can_be_nudged_while_they_wait_for_us(cast, job):
    put_question(job)
    with pytest.raises(Refused, match="Answer it first"):
        nudging.nudge(job, cast.owner)


def test_presses_beyond_the_workshops_days_are_possible(cast, job, quote):
    age_quote(quote, 20)
    for _ in range(4):
        nudging.nudge(job, cast.owner)
        Nudge.objects.update(at=timezone.now() - timedelta(hours=2))
    assert steps(quote) == [1, 2, 3, 4]


def test_a_workshop_without_nudge_days_nudges_nobody(cast, quote):
    cast.workshop.nudge_days = []
    cast.workshop.save()
    assert after(30, quote) == 0


def test_a_call_is_noted_and_not_without_a_word(cast, job):
    nudging.note_call(job, "  Will answer on Monday. ", cast.owner)
    assert Entry.objects.get(job=job, kind=Kind.CALLED).data == {"text": "Will answer on Monday."}
    with pytest.raises(Refused):
        nudging.note_call(job, "   ", cast.owner)


def test_a_quote_whose_last_day_has_passed_lapses_once(cast, job, quote):
    Quote.objects.update(valid_until=timezone.localdate() - timedelta(days=1))
    assert nudging.lapse_all_past(timezone.now()) == 1
    assert nudging.lapse_all_past(timezone.now()) == 0
    relay.run()
    assert letter_of(job, "quote_lapsed").state == "waiting"


def test_looking_for_due_nudges_does_not_slow_down_with_jobs_that_owe_nothing(
    cast, quote, django_assert_max_num_queries
):
    for _ in range(3):
        cast.job_at("agreed")
    with django_assert_max_num_queries(8):
        nudging.nudges_due(quote.sent_at + timedelta(days=5))


def test_the_database_itself_refuses_a_step_twice(quote):
    Nudge.objects.create(quote=quote, step=1, at=timezone.now())
    with pytest.raises(IntegrityError), transaction.atomic():
        Nudge.objects.create(quote=quote, step=1, at=timezone.now())


@pytest.mark.django_db(transaction=True)
def test_two_sweeps_at_once_nudge_once():
    quote = make_cast().job_at("quoted").quotes.get()
    start = threading.Barrier(4)

    def sweep() -> None:
        start.wait()
        try:
            after(5, quote)
        finally:
            connection.close()

    threads = [threading.Thread(target=sweep) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert Entry.objects.filter(kind=Kind.NUDGED).count() == 1


@pytest.mark.django_db(transaction=True)
def test_an_answer_in_the_same_second_wins_or_comes_after_but_never_before_a_nudge():
    cast = make_cast()
    for _ in range(3):
        quote = cast.job_at("quoted").quotes.get()
        start = threading.Barrier(2)

        def at_once(act, start=start) -> None:
            start.wait()
            try:
                act()
            finally:
                connection.close()

        acts = (lambda quote=quote: after(5, quote), lambda quote=quote: cast.agree(quote))
        threads = [threading.Thread(target=at_once, args=[act]) for act in acts]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        kinds = list(quote.job.entries.order_by("seq").values_list("kind", flat=True))
        assert Kind.DECIDED in kinds
        assert Kind.NUDGED not in kinds[kinds.index(Kind.DECIDED) :]
