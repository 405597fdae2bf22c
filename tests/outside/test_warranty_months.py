"""Ends of periods in months: Regulation (EEC, Euratom) No 1182/71 Art. 3(2)(c), worked cases, and python-dateutil."""

from datetime import date, datetime, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import MONTHLY, rrule
from hypothesis import given
from hypothesis import strategies as st

from jobs.warranty_terms import covered_until, days_left

days = st.dates(min_value=date(1990, 1, 1), max_value=date(2090, 12, 31))
months = st.integers(min_value=0, max_value=240)


@pytest.mark.parametrize(
    ("start", "period", "end"),
    [
        # House of Lords, 18 June 1981, the "corresponding date" case: notice of 30 September, four months; 31 January was late
        (date(1978, 9, 30), 4, date(1979, 1, 30)),
        # The UK data regulator's guidance for the public on time limits for answering requests: its examples of one month
        (date(2024, 9, 3), 1, date(2024, 10, 3)),
        (date(2024, 3, 31), 1, date(2024, 4, 30)),
        # The same guidance: the last day of February, in a leap year too
        (date(2023, 1, 30), 1, date(2023, 2, 28)),
        (date(2023, 1, 31), 1, date(2023, 2, 28)),
        (date(2024, 1, 30), 1, date(2024, 2, 29)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        # Two conventions were published: today's gives 1 September, the guidance before 2019 gave 2 September
        (date(2024, 8, 1), 1, date(2024, 9, 1)),
        # The regulator's example goes on to the next working day, 27 December; that is for deadlines. We promise the day itself
        (date(2024, 11, 25), 1, date(2024, 12, 25)),
        # python-dateutil's documentation of relativedelta
        (date(2003, 1, 31), 1, date(2003, 2, 28)),
        (date(2003, 1, 31), 2, date(2003, 3, 31)),
        (date(2003, 1, 30), 1, date(2003, 2, 28)),
        (date(2000, 2, 29), 12, date(2001, 2, 28)),
        (date(1999, 2, 28), 12, date(2000, 2, 28)),
        (date(1999, 3, 1), 12, date(2000, 3, 1)),
        # By hand: 2026 has no 29 February
        (date(2024, 2, 29), 24, date(2026, 2, 28)),
    ],
)
def test_published_cases_end_on_their_published_day(start: date, period: int, end: date) -> None:
    assert covered_until(start, period) == end


@given(days, months)
def test_every_end_is_the_one_that_dateutil_finds(start: date, period: int) -> None:
    assert covered_until(start, period) == start + relativedelta(months=period)


def test_month_after_month_goes_astray_where_one_step_does_not() -> None:
    """python-dateutil's documentation: 31 January and one month, and one more, is 28 March; and two months is 31 March."""
    step_by_step = covered_until(covered_until(date(2003, 1, 31), 1), 1)
    assert step_by_step == date(2003, 3, 28)
    assert covered_until(date(2003, 1, 31), 2) == date(2003, 3, 31)


def test_last_days_of_months_counted_from_one_anchor() -> None:
    """python-dateutil's rrule (the example of RFC 5545, 1997): every last day of a month, counted from 31 October."""
    first = datetime(1997, 10, 31)  # noqa: DTZ001 - a day, whose hours nobody reads
    theirs = [found.date() for found in rrule(MONTHLY, dtstart=first, bymonthday=-1, count=14)]
    assert [covered_until(first.date(), months) for months in range(14)] == theirs


@given(days, st.integers(min_value=1, max_value=240))
def test_a_period_beginning_with_a_day_would_end_one_day_sooner(start: date, period: int) -> None:
    """A period "beginning with" its first day ends the day before the corresponding date (the UK's statutory instrument
    2018/1082, article 1(4), counts like that). Ours runs "after" the day of return, which is covered but not counted."""
    beginning_with = covered_until(start, period) - timedelta(days=1)
    assert days_left(covered_until(start, period), start) == days_left(beginning_with, start) + 1


def test_a_year_from_the_first_of_march_has_its_day_of_return_on_top() -> None:
    """By hand: 365 days from 2 March 2026 to 1 March 2027, and the day of return itself."""
    assert covered_until(date(2026, 3, 1), 12) == date(2027, 3, 1)
    assert days_left(date(2027, 3, 1), date(2026, 3, 1)) == 366


def test_a_negative_period_is_refused() -> None:
    with pytest.raises(ValueError):
        covered_until(date(2026, 1, 1), -1)
