"""Whatever the plan, the calendar, the questions and the days on which our machine runs: what never may happen does not."""

from datetime import UTC, date, datetime, time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from jobs.models import NudgeStep
from jobs.words import Owes
from jobs.working_days import Days
from notifications.chasing.course import Known, course_of
from notifications.chasing.house import House
from notifications.chasing.owed import Owed
from notifications.models import Pause

FIRST = date(2026, 7, 6)
LENGTH = 120
THING = Owed(1, Owes.COLLECTION, 9, datetime.combine(FIRST, time(9), UTC))

days = st.integers(0, LENGTH)
plans = st.lists(st.integers(1, 8), min_size=1, max_size=5)
calendars = st.builds(
    lambda weekdays, closed: Days(weekdays, "", frozenset(FIRST + timedelta(days=n) for n in closed)),
    st.frozensets(st.integers(0, 6), min_size=1),
    st.frozensets(days, max_size=10),
)
spans = st.lists(st.tuples(days, st.integers(0, 20)), max_size=3)


def at(day: int) -> datetime:
    return datetime.combine(FIRST + timedelta(days=day), time(12), UTC)


def house_of(waits: list[int], calendar: Days) -> House:
    steps = tuple(NudgeStep(about=Owes.COLLECTION, n=n, wait=wait) for n, wait in enumerate(waits, start=1))
    return House(calendar, plans={Owes.COLLECTION: steps})


def told_on(day: int, asked: list[tuple[int, int]]) -> dict[int, list[tuple[datetime, datetime | None]]]:
    """Questions of theirs as they stand on that day: asked on a day, answered so many days later."""
    found = [(at(first), at(first + n) if first + n <= day else None) for first, n in asked if first <= day]
    return {1: found}


def live(house: House, runs: frozenset[int], asked: list[tuple[int, int]]) -> list[date]:
    """The days on which nudges went out, where the sweep ran on these days."""
    sent: list[date] = []
    for day in sorted(runs):
        last = {THING.thing: (len(sent), at((sent[-1] - FIRST).days))} if sent else {}
        nudged = {1: at((sent[-1] - FIRST).days)} if sent else {}
        known = Known(house, at(day), last, nudged, told_on(day, asked))
        course = course_of(THING, known)
        assert course.next_on is None or course.next_on >= known.today
        if course.next_on == known.today:
            sent.append(known.today)
    return sent


@given(plans, calendars, st.frozensets(days, max_size=60), spans)
def test_every_nudge_falls_on_a_working_day_after_its_whole_wait(waits, calendar, runs, asked):
    sent = live(house_of(waits, calendar), runs, asked)
    assert len(sent) <= len(waits)
    assert all(calendar.is_worked(day) for day in sent)
    for before, day, wait in zip([FIRST, *sent], sent, waits, strict=False):
        assert calendar.between(before, day) >= wait


@given(plans, calendars, st.frozensets(days, max_size=60), spans)
def test_nothing_goes_on_a_day_on_which_a_question_waits_or_was_answered(waits, calendar, runs, asked):
    waited = {FIRST + timedelta(days=first + n) for first, length in asked for n in range(length + 1)}
    assert not waited & set(live(house_of(waits, calendar), runs, asked))


@given(plans, calendars)
def test_where_the_machine_always_runs_each_nudge_goes_on_the_very_day(waits, calendar):
    sent = live(house_of(waits, calendar), frozenset(range(LENGTH + 1)), [])
    expected, day = [], FIRST
    for wait in waits:
        day = calendar.after(day, wait)
        expected.append(day)
    assert sent == [day for day in expected if day <= FIRST + timedelta(days=LENGTH)]


@given(plans, calendars, days, days)
def test_a_pause_until_a_day_lets_nothing_go_before_it(waits, calendar, now, until):
    known = Known(
        house_of(waits, calendar), at(now), pauses={1: Pause(job_id=1, until=FIRST + timedelta(days=until))}
    )
    course = course_of(THING, known)
    assert course.next_on is None or course.next_on >= FIRST + timedelta(days=until)


def test_a_house_that_never_works_does_not_count_for_ever():
    house = house_of([1], Days(frozenset()))
    assert course_of(THING, Known(house, at(3))).next_on is not None
