"""A letter a month before a warranty ends: to whoever asked, once."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import time_machine
from dateutil.relativedelta import relativedelta
from django.utils import timezone

from jobs.actions import reminding as asking
from jobs.actions.contact import want_progress
from jobs.models import Entry, Job
from notifications import relay, reminding, tasks
from notifications.models import Letter
from notifications.preferences import token_for
from tests.cast import Cast
from tests.jobs.actions.claims import examined, first_cover, judge, mended_again, open_claim
from tests.once import made_once

LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def job(cast: Cast) -> Job:
    """Home, with a year's warranty, and a letter wanted before it ends."""
    job = made_once(cast.home)
    asking.want_reminder(job.warranty, True)
    return job


def at(job: Job, days_before_the_end: int) -> datetime:
    """Noon so many days before the last day."""
    until = first_cover(job).until
    assert until
    return datetime(until.year, until.month, until.day, 12, tzinfo=LONDON) - timedelta(
        days=days_before_the_end
    )


def sweep(when: datetime) -> int:
    with time_machine.travel(when, tick=False):
        done = reminding.remind_all_due(timezone.now())
        relay.run()
    return done


def letters() -> list[Letter]:
    return list(Letter.objects.filter(kind="warranty_ends"))


@pytest.mark.parametrize(("days", "sent"), [(40, 0), (31, 0), (30, 1), (12, 1), (0, 1), (-1, 0)])
def test_it_is_due_within_the_last_month_and_not_after_the_end(job: Job, days: int, sent: int) -> None:
    assert sweep(at(job, days)) == sent


def test_swept_twice_it_is_one_letter(job: Job) -> None:
    assert [sweep(at(job, 30)), sweep(at(job, 30)), sweep(at(job, 29))] == [1, 0, 0]
    assert len(letters()) == 1
    assert Entry.objects.filter(kind="warranty_ends").count() == 1


def test_who_looked_just_before_somebody_else_wrote_writes_nothing(job: Job) -> None:
    today = at(job, 20).date()
    with time_machine.travel(at(job, 20), tick=False):
        first, second = (next(iter(asking.ending_soon(today))) for _each in range(2))
        assert [asking.remind(first, today), asking.remind(second, today)] == [True, False]


def test_who_did_not_ask_gets_none(job: Job) -> None:
    asking.want_reminder(job.warranty, False)
    assert sweep(at(job, 20)) == 0


def test_the_last_cover_decides(job: Job) -> None:
    until = first_cover(job).until
    job.warranty.covers.create(what="Longer", mechanism="lens", until=until + relativedelta(months=6))
    assert sweep(at(job, 20)) == 0


def test_the_workshops_own_clock_decides_which_day_it_is(job: Job) -> None:
    """Half an hour before midnight in London it is the next day already in UTC+1, and still the day before there in summer."""
    until = first_cover(job).until
    eve = datetime(until.year, until.month, until.day, 23, 30, tzinfo=LONDON) - timedelta(days=31)
    assert sweep(eve) == 0
    assert sweep(eve + timedelta(hours=1)) == 1


def test_while_a_claim_is_open_nothing_is_said(cast: Cast, job: Job) -> None:
    open_claim(job)
    assert sweep(at(job, 20)) == 0


def test_after_a_claim_what_goes_on_from_it_is_told_of_and_the_first_is_not(cast: Cast, job: Job) -> None:
    claim = mended_again(cast, job)
    assert sweep(at(claim, 20)) == 1
    assert letters()[0].job == claim


def test_a_claim_that_came_to_nothing_leaves_the_first_as_it_is(cast: Cast, job: Job) -> None:
    from jobs.actions import leaving, working

    claim = examined(cast, job)
    judge(cast, claim, "not_covered", "other")
    leaving.withdraw(claim, cast.technician)
    cast.send_back(claim)
    working.deliver(claim, cast.technician)
    assert sweep(at(job, 20)) == 1


def test_it_says_what_ends_when_and_how_to_claim(job: Job) -> None:
    sweep(at(job, 20))
    [letter] = letters()
    assert "Free the winding gears: until" in letter.text
    assert "you can start a claim" in letter.text.replace("\n", " ")
    assert f"{first_cover(job).until:%B %Y}" in letter.text
    assert "warranty ends on" in letter.subject


def test_it_can_be_left_out_like_letters_of_progress(job: Job) -> None:
    sweep(at(job, 20))
    assert not letters()[0].essential


def test_who_wants_no_progress_letters_but_asked_for_this_one_gets_it(job: Job) -> None:
    want_progress(job.customer, False)
    sweep(at(job, 20))
    assert [letter.state for letter in letters()] == [Letter.State.WAITING]


def test_who_left_letters_out_after_asking_gets_none(client: Any, job: Job) -> None:
    client.post(f"/letters-off/{token_for(job.customer)}/")
    assert sweep(at(job, 20)) == 0


def test_who_changed_their_mind_before_it_left_gets_none(job: Job) -> None:
    with time_machine.travel(at(job, 20), tick=False):
        reminding.remind_all_due(timezone.now())
        asking.want_reminder(job.warranty, False)
        relay.run()
    assert [(letter.state, letter.why) for letter in letters()] == [("skipped", "They no longer ask for it.")]


def test_the_timetables_task_does_it(job: Job) -> None:
    with time_machine.travel(at(job, 20), tick=False):
        tasks.remind_of_ends()
        tasks.remind_of_ends()
    assert Entry.objects.filter(kind="warranty_ends").count() == 1


def test_without_a_workshop_nothing_happens(db: None) -> None:
    assert reminding.remind_all_due(timezone.now()) == 0


def test_the_customers_timeline_tells_of_it(job: Job) -> None:
    from jobs.timeline import told

    sweep(at(job, 20))
    line = told(Entry.objects.get(kind="warranty_ends"))
    assert line
    assert line.words.startswith("We wrote to you that your warranty ends on ")
