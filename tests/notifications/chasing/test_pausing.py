"""Reminders put off, paused, taken up again; calls noted."""

from datetime import date, timedelta

import pytest

from jobs.actions.refusals import Refused
from jobs.models import Entry, Kind
from notifications import chasing, deliver, relay
from notifications.models import Owing, Pause
from tests.notifications.scenes import letter_of
from tests.once import made_once

FRIDAY_OF_THE_NEXT_WEEK = date(2026, 7, 17)


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, "quoted")


def test_nothing_goes_before_the_day_until_which_it_is_put_off_and_then_one(cast, job, after):
    chasing.pause(job, cast.owner, FRIDAY_OF_THE_NEXT_WEEK, "On holiday")
    assert [after(day) for day in (2, 7, 10, 11, 12, 14)] == [0, 0, 0, 1, 0, 0]


def test_put_off_until_a_day_off_it_goes_on_the_next_working_day(cast, job, after):
    chasing.pause(job, cast.owner, date(2026, 7, 18))
    assert [after(day) for day in (12, 13, 14)] == [0, 0, 1]


def test_paused_nothing_goes_until_somebody_takes_it_up_again(cast, job, after):
    chasing.pause(job, cast.owner)
    assert after(14) == 0
    chasing.resume(job, cast.owner)
    assert after(14) == 1


def test_the_summary_says_that_it_is_paused_and_until_when(cast, job):
    chasing.pause(job, cast.owner, FRIDAY_OF_THE_NEXT_WEEK)
    row = Owing.objects.get(job=job)
    assert (row.state, row.next_on) == ("paused", FRIDAY_OF_THE_NEXT_WEEK)
    chasing.pause(job, cast.owner)
    row.refresh_from_db()
    assert (row.state, row.next_on) == ("paused", None)
    chasing.resume(job, cast.owner)
    row.refresh_from_db()
    assert (row.state, row.next_on) == ("chased", date(2026, 7, 8))


def test_pausing_and_taking_up_stand_in_the_journal_with_who_and_why(cast, job):
    chasing.pause(job, cast.owner, FRIDAY_OF_THE_NEXT_WEEK, " On holiday ")
    chasing.resume(job, cast.owner)
    paused, resumed = Entry.objects.filter(job=job, kind__in=[Kind.PAUSED, Kind.RESUMED]).order_by("seq")
    assert paused.data == {"until": "2026-07-17", "because": "On holiday"}
    assert (paused.by_name, resumed.kind) == ("Hester Quill", "resumed")
    assert not Pause.objects.exists()


@pytest.mark.parametrize("until", [date(2026, 7, 5), date(2026, 7, 6), date(2028, 1, 1)])
def test_a_day_that_has_passed_and_one_too_far_away_are_refused(cast, job, until):
    with pytest.raises(Refused) as refused:
        chasing.pause(job, cast.owner, until)
    assert refused.value.field == "until"
    assert not Pause.objects.exists()


def test_what_is_not_paused_cannot_be_taken_up(cast, job, go_to):
    with pytest.raises(Refused, match="not paused"):
        chasing.resume(job, cast.owner)
    chasing.pause(job, cast.owner, date(2026, 7, 8))
    go_to(2)  # it has run out by itself
    with pytest.raises(Refused, match="not paused"):
        chasing.resume(job, cast.owner)


def test_no_press_while_reminders_are_paused(cast, job):
    chasing.pause(job, cast.owner, FRIDAY_OF_THE_NEXT_WEEK)
    with pytest.raises(Refused, match="put off until Friday 17 July"):
        chasing.nudge(job, cast.owner)
    chasing.pause(job, cast.owner)
    with pytest.raises(Refused, match="Reminders are paused"):
        chasing.nudge(job, cast.owner)


def test_a_pause_stops_the_letter_that_was_written_before_it(cast, job, after):
    after(2)
    relay.run()
    chasing.pause(job, cast.owner)
    letter = letter_of(job, "nudged")
    assert deliver.deliver(letter.pk) == "skipped"
    letter.refresh_from_db()
    assert letter.why == "Reminders are paused."


def test_a_call_is_noted_and_not_without_a_word(cast, job):
    chasing.note_call(job, "  Will answer on Monday. ", cast.owner)
    assert Entry.objects.get(job=job, kind=Kind.CALLED).data == {"text": "Will answer on Monday."}
    with pytest.raises(Refused) as refused:
        chasing.note_call(job, "   ", cast.owner)
    assert refused.value.field == "text"


def test_a_call_can_put_reminders_off(cast, job, after):
    chasing.note_call(job, "Will answer next week.", cast.owner, put_off=7)
    assert Pause.objects.get().until == date(2026, 7, 6) + timedelta(days=7)
    assert [after(day) for day in (2, 6, 7)] == [0, 0, 1]
