"""Nudges: due on or after their day, once a step, never after an act of theirs, never while a question waits for us."""

from datetime import date, time, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.actions import arriving, asking, chase_plans, enquiring
from jobs.actions.chase_plans import Step
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Customer, Entry, Kind, Question, Quote, Workshop
from notifications import chasing, deliver, relay
from notifications.chasing import keeping, lapsing, nudging
from notifications.models import Letter, Nudge, TextGateway
from tests.notifications.scenes import letter_of
from tests.once import made_once


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, "quoted")


@pytest.fixture
def quote(job):
    return job.quotes.get()


def steps(job):
    return list(Nudge.objects.filter(job=job).values_list("step", flat=True))


def days_of(job):
    """The days on which nudges went out, as 6 is the Monday of the first week."""
    return [at.day for at in Nudge.objects.filter(job=job).order_by("at").values_list("at", flat=True)]


def ask_us(job, once="once-1"):
    return asking.ask(job, "Must it be now?", Actor.customer(job.customer), once)


@pytest.mark.parametrize(("days", "sent"), [(0, 0), (1, 0), (2, 1), (3, 1)])
def test_the_first_nudge_is_due_on_its_day_or_after(quote, after, days, sent):
    assert after(days) == sent


def test_each_step_happens_once_and_each_wait_counts_from_the_step_before(quote, after):
    """2, 3 and 5 working days: Wednesday, Monday, and Monday a week later."""
    for day in range(25):
        after(day)
        after(day)
    assert (steps(quote.job), days_of(quote.job)) == ([1, 2, 3], [8, 13, 20])


def test_after_days_of_standing_still_one_nudge_goes_out_and_the_next_after_its_whole_wait(quote, after):
    assert after(15) == 1
    assert [after(day) for day in (16, 17, 18)] == [0, 0, 1]
    assert steps(quote.job) == [1, 2]


def test_nobody_is_nudged_on_a_day_off(quote, after):
    Workshop.objects.update(closed_days=["2026-07-08", "2026-07-09"])
    assert [after(day) for day in (2, 3, 4)] == [0, 0, 1]


def test_what_is_overdue_on_a_saturday_goes_on_monday(quote, after):
    assert [after(day) for day in (5, 6, 7)] == [0, 0, 1]


def quiet_at_night():
    Workshop.objects.update(quiet_from=time(20), quiet_until=time(8))


def test_a_nudge_waits_for_the_morning_itself_so_that_a_pause_at_dawn_takes_no_step_away(
    cast, job, after, go_to
):
    """After 9 in the morning UTC: 14.1 hours later it is past midnight in Saltmere, 21.5 hours later half past seven."""
    quiet_at_night()
    assert after(1 + 14.1 / 24) == 0
    go_to(1 + 21.5 / 24)
    chasing.pause(job, cast.owner, date(2026, 7, 9))
    assert [after(day) for day in (2, 3)] == [0, 1]
    relay.run()
    letter = letter_of(job, "nudged")
    assert letter.state == "waiting"
    assert letter.next_attempt_at <= timezone.now()


def test_a_nudge_waits_for_the_morning_of_whoever_it_is_for(cast, job, after):
    """Half past seven in New York, while it is half past twelve in Saltmere."""
    quiet_at_night()
    Customer.objects.update(time_zone="America/New_York")
    assert [after(2 + hours / 24) for hours in (2.5, 3.1)] == [0, 1]


def test_a_nudge_waits_for_the_end_of_a_holiday_of_whoever_it_is_for(cast, after, go_to):
    """1 October 2026 is a holiday of Cyprus."""
    go_to(85)  # Tuesday, 29 September
    cast.job_at("quoted")
    Customer.objects.update(holidays_in="CY")
    assert [after(day) for day in (87, 88)] == [0, 1]


def test_a_job_that_cannot_be_reckoned_stops_no_other_nudge(cast, job, go_to, monkeypatch, caplog):
    other, reckon = cast.job_at("quoted", cast.another_book()), nudging.courses
    go_to(2)
    keeping.refresh_all()
    monkeypatch.setattr(nudging, "courses", broken_for(job, reckon))
    assert chasing.nudge_all_due(timezone.now()) == 1
    assert (steps(job), steps(other)) == ([], [1])
    assert "could not be dealt with" in caplog.text


def broken_for(job, real):
    """The function, which raises for one job."""

    def one_is_broken(of, *rest):
        if of.pk == job.pk:
            raise ValueError
        return real(of, *rest)

    return one_is_broken


def test_public_holidays_of_the_house_do_not_count(cast, after, go_to):
    Workshop.objects.update(holidays_in="GB-ENG")
    go_to(53)  # Friday, 28 August 2026; the Monday after it is a holiday there
    job = cast.job_at("quoted")
    assert [after(day) for day in (56, 57, 58)] == [0, 0, 1]
    assert steps(job) == [1]


def test_the_day_is_the_workshops_day(cast, after):
    """Sent on a Wednesday at 23:30 in Saltmere: three hours later it is the next day there."""
    job = cast.job_at("quoted")
    chase_plans.keep_plan("quote", [Step(1)])
    Quote.objects.update(sent_at="2026-07-08T22:30:00Z")
    assert after(2.67) == 1
    assert steps(job) == [1]


def test_no_nudge_after_the_answer(cast, quote, after):
    cast.agree(quote)
    assert after(10) == 0


def test_no_nudge_for_a_quote_that_was_replaced(cast, job, quote, after, go_to):
    go_to(2)
    cast.send_quote(job)
    assert after(3) == 0
    assert steps(job) == []


def test_no_nudge_once_the_last_day_has_passed_and_none_that_would_come_after_it(job, quote, after):
    Quote.objects.update(valid_until=date(2026, 7, 10))
    assert after(2) == 1
    assert chasing.courses(job)[0].call  # the next would be due on Monday
    assert after(8) == 0


def test_no_nudge_while_a_question_of_theirs_waits(job, after):
    ask_us(job)
    assert after(10) == 0
    assert chasing.courses(job)[0].state == "ours"


def test_days_on_which_a_question_waited_do_not_count(cast, job, quote, after):
    """Asked on Monday, answered on Thursday: Friday and Monday are the two days."""
    question = ask_us(job)
    asking.answer(question, "No.", cast.technician)
    Question.objects.update(answered_at=quote.sent_at + timedelta(days=3))
    assert [after(day) for day in (3, 4, 7)] == [0, 0, 1]


def test_two_questions_at_once_do_not_count_twice(cast, job, quote, after):
    for once in ("once-1", "once-2"):
        asking.answer(ask_us(job, once), "No.", cast.technician)
    Question.objects.update(answered_at=quote.sent_at + timedelta(days=3))
    assert [after(day) for day in (3, 4, 7)] == [0, 0, 1]


def test_nobody_is_nudged_on_the_day_of_our_own_answer(cast, job, after, go_to):
    go_to(9)
    asking.answer(ask_us(job), "No.", cast.technician)
    assert [after(day) for day in (9.1, 10)] == [0, 1]


def test_a_nudge_is_an_entry_of_the_journal_and_a_letter(job, quote, after):
    after(2)
    relay.run()
    entry = Entry.objects.get(job=job, kind=Kind.NUDGED)
    assert entry.by_kind == "house"
    assert entry.data == {
        "step": 1,
        "about": "quote",
        "thing": f"quote-{quote.pk}",
        "tone": "kind",
        "way": "email",
        "last": False,
        "quote": 1,
    }
    assert letter_of(job, "nudged").state == "waiting"


def test_after_the_last_step_the_office_is_told_to_ring(job, after):
    for day in (2, 7, 14):
        after(day)
        relay.run()
    note = letter_of(job, "staff_call")
    assert note.to_address == "bench@tidewater.example"
    assert "01632 960142" in note.text
    assert chasing.courses(job)[0].call


def test_before_the_last_step_nobody_is_told_to_ring(job, after):
    after(2)
    relay.run()
    course = chasing.courses(job)[0]
    assert not Letter.objects.filter(kind="staff_call").exists()
    assert (course.sent, len(course.plan), course.call) == (1, 3, False)


def test_a_house_without_a_plan_nudges_nobody_by_itself(cast, quote, after):
    chase_plans.keep_plan("quote", [])
    assert after(10) == 0
    assert chasing.nudge(quote.job, cast.owner).data["tone"] == "kind"


def test_a_plan_that_has_grown_shorter_ends_there(quote, after):
    after(2)
    chase_plans.keep_plan("quote", [Step(2)])
    assert after(20) == 0


def test_two_things_owed_about_a_job_are_two_letters_on_two_days(cast, job, after):
    enquiring.enquire(job, "Which film do you use?", cast.technician, "ask-1")
    assert [after(day) for day in (2, 2.1, 3)] == [1, 0, 1]
    assert sorted(Nudge.objects.values_list("about", flat=True)) == ["question", "quote"]


# --- by hand ---------------------------------------------------------------------------------------------------------


def test_one_press_sends_one_nudge_and_takes_the_place_of_the_next_step(cast, job, after):
    chasing.nudge(job, cast.owner)
    assert steps(job) == [1]
    assert [after(day) for day in (2, 3)] == [0, 1]


def test_a_second_press_is_refused_and_says_when_the_first_was(cast, job):
    chasing.nudge(job, cast.owner)
    with pytest.raises(Refused, match="reminder of 10:00 already"):
        chasing.nudge(job, cast.owner)


def test_nobody_can_be_nudged_who_owes_nothing(cast):
    with pytest.raises(Refused, match="nothing that they owe"):
        chasing.nudge(cast.job_at("arrived"), cast.owner)


def test_a_press_about_something_that_came_meanwhile_says_so(cast, job, quote):
    cast.agree(quote)
    with pytest.raises(Refused, match="no longer owed"):
        chasing.nudge(job, cast.owner, f"quote-{quote.pk}")


def test_nobody_can_be_nudged_while_they_wait_for_us(cast, job):
    ask_us(job)
    with pytest.raises(Refused, match="Answer it first"):
        chasing.nudge(job, cast.owner)


def test_presses_beyond_the_plan_are_possible_and_never_say_twice_that_they_are_the_last(cast, job, go_to):
    tones = []
    for hour in range(4):
        go_to(hour / 10)
        tones.append(chasing.nudge(job, cast.owner).data["tone"])
    assert (steps(job), tones) == ([1, 2, 3, 4], ["kind", "plain", "last", "plain"])


def test_the_workshop_is_told_to_ring_once_and_not_after_presses_beyond_the_plan(cast, job, go_to):
    for hour in range(4):
        go_to(hour / 10)
        chasing.nudge(job, cast.owner)
        relay.run()
    assert Letter.objects.filter(kind="staff_call").count() == 1


def test_a_step_by_text_is_written_as_a_text_to_who_asked_for_texts(cast, job):
    TextGateway.objects.create(url="https://texts.example.org/", body='{"to": "{to}", "text": "{text}"}')
    Customer.objects.update(text_to="+441632960142", wants_texts=True)
    chase_plans.keep_plan("quote", [Step(2, way="text")])
    entry = chasing.nudge(job, cast.owner)
    relay.run()
    (letter,) = Letter.objects.filter(entry=entry, person__isnull=False)
    assert (letter.channel, letter.to_address) == ("text", "+441632960142")


def test_a_step_by_text_goes_by_letter_to_whom_we_have_no_number_of(cast, job):
    chase_plans.keep_plan("quote", [Step(2, way="text")])
    assert chasing.nudge(job, cast.owner).data["way"] == "email"


# --- the letter ------------------------------------------------------------------------------------------------------


def test_an_answer_after_the_nudge_was_written_stops_its_letter(cast, job, quote, after):
    after(2)
    relay.run()
    cast.agree(quote)
    letter = letter_of(job, "nudged")
    Letter.objects.update(next_attempt_at=timezone.now())
    assert deliver.deliver(letter.pk) == "skipped"


def test_a_question_after_the_nudge_was_written_stops_its_letter(job, after):
    after(2)
    relay.run()
    ask_us(job)
    Letter.objects.update(next_attempt_at=timezone.now())
    assert deliver.deliver(letter_of(job, "nudged").pk) == "skipped"


def test_an_answer_between_the_nudge_and_its_letter_leaves_the_letter_out(cast, job, quote, after):
    after(2)
    cast.agree(quote)
    relay.run()
    assert letter_of(job, "nudged").state == "skipped"
    assert letter_of(job, "nudged").why == "They no longer owe it."


# --- bounds ----------------------------------------------------------------------------------------------------------


def test_looking_for_due_nudges_costs_the_same_with_jobs_that_owe_nothing(
    cast, quote, after, django_assert_max_num_queries
):
    for _ in range(3):
        arriving.receive(cast.another_book(), arriving.Parcel(), cast.technician)
    after(1)
    with django_assert_max_num_queries(3):
        assert chasing.nudge_all_due(timezone.now()) == 0


def test_a_row_that_is_out_of_date_nudges_nobody(cast, job, quote, go_to):
    """The summary says that it is due; the rows say that they have answered."""
    go_to(2)
    keeping.refresh_all()
    Quote.objects.update(state="answered")
    assert chasing.nudge_all_due(timezone.now()) == 0
    assert not job.owings.exists()


def test_the_database_itself_refuses_a_step_twice(job):
    Nudge.objects.create(job=job, thing="quote-1", step=1, at=timezone.now())
    with pytest.raises(IntegrityError), transaction.atomic():
        Nudge.objects.create(job=job, thing="quote-1", step=1, at=timezone.now())


def test_a_quote_whose_last_day_has_passed_lapses_once(job):
    Quote.objects.update(valid_until=date(2026, 7, 5))
    assert chasing.lapse_all_past(timezone.now()) == 1
    assert chasing.lapse_all_past(timezone.now()) == 0
    relay.run()
    assert letter_of(job, "quote_lapsed").state == "waiting"


def test_a_quote_that_cannot_lapse_stops_no_other(cast, job, monkeypatch):
    other = cast.job_at("quoted", cast.another_book())
    Quote.objects.update(valid_until=date(2026, 7, 5))
    monkeypatch.setattr(lapsing, "lapse", broken_for(job.quotes.get(), lapsing.lapse))
    assert chasing.lapse_all_past(timezone.now()) == 1
    assert other.quotes.get().state == "lapsed"
